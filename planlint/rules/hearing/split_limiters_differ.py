"""Two people on one split transmitter with different limiters or gains.

What goes wrong: both mixes go through one input gain. Set for one, it is too hot or too low for the other, and
the packs' limiters answer differently. Worth knowing before the guests come.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    pack_defaults: {limiter_db: -12, gain_db: 0}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {limiter_db: -18}, PK-7R: {}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    pack_defaults: {limiter_db: -12, gain_db: 0}
    links:
      duo: {kind: ear, tx: TX-7, sends: stereo, feed: {left: g-a, right: g-b}, packs: {PK-7L: {}, PK-7R: {}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import Setting, setting
from planlint.facts.split import split_packs, splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_split_packs, named, sender, subjects, text

RULE = Rule(severity="note", group="hearing", source="common practice, no source")

_KEYS = {"limiter_db": "limiter", "gain_db": "gain"}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each split pair whose packs differ in limiter or gain."""
    yield from lacking_split_packs(plan)
    for link in splits(plan):
        packs = split_packs(link)
        for key in _KEYS:
            found = [(pack, setting(plan, pack, key)) for pack in packs]
            missing = {setting.at for _, setting in found if setting.value is None}
            if missing:
                yield Unchecked(tuple(sorted(missing)), subjects(link, *packs))
            written = [(pack, setting) for pack, setting in found if setting.value is not None]
            if len({setting.value for _, setting in written}) > 1:
                yield _fault(link, key, written)


def _fault(link: Link, key: str, found: list[tuple[Pack, Setting]]) -> Fault:
    def say(setting: Setting) -> str:
        return "none" if setting.value == "none" else f"{text(setting.value)} dB"

    told = ", ".join(f"{named(pack)} {say(setting)}" for pack, setting in found)
    return Fault(
        f"{found[-1][0].at}/{key}",
        f"split pair {link.id}: {_KEYS[key]} differs, {told}. Both mixes share one input gain at {sender(link)}: set that for "
        "the louder mix, and even the two out on the desk.",
        subjects(link, *(pack for pack, _ in found)),
        {key: ", ".join(text(setting.value) for _, setting in found)},
        tuple(Mark(setting.at, pack.id) for pack, setting in found[:-1]),
    )
