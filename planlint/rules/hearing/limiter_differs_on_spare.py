"""A spare pack that is not set like the pack it stands in for.

What goes wrong: packs are swapped in the dark, in the middle of a song. A spare inherits nothing from the pack
it stands in for: its settings are the house's and its own. Compared are limiter, gain, ear feed and balance.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, PK-1: {}, PK-S: {}}
    pack_defaults: {ear_feed: stereo, balance_pct: 0, limiter_db: -6, gain_db: 0}
    links:
      vox: {kind: ear, tx: TX-1, packs: {PK-1: {limiter_db: -18}, PK-S: {stands_in_for: PK-1}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, PK-1: {}, PK-S: {}}
    pack_defaults: {ear_feed: stereo, balance_pct: 0, limiter_db: -6, gain_db: 0}
    links:
      vox: {kind: ear, tx: TX-1, packs: {PK-1: {limiter_db: -18}, PK-S: {stands_in_for: PK-1, limiter_db: -18}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import Setting, setting, stood_in_for, worn
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_packs, subjects, text, value

RULE = Rule(severity="error", group="hearing", source="common practice, no source")

_KEYS = {
    "limiter_db": ("limiter", " dB"),
    "gain_db": ("gain", " dB"),
    "ear_feed": ("ear feed", ""),
    "balance_pct": ("balance", " %"),
}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each spare pack that differs from the pack it stands in for."""
    yield from lacking_packs(plan)
    for link, spare in worn(plan):
        main = stood_in_for(plan, link, spare) if spare.stands_in_for else None
        if main is None:
            continue
        both = {key: (setting(plan, spare, key), setting(plan, main, key)) for key in _KEYS}
        missing = {found.at for pair in both.values() for found in pair if found.value is None}
        if missing:
            yield Unchecked(tuple(sorted(missing)), (*subjects(link, spare), main.id))
        differing = {
            key: (ours, theirs)
            for key, (ours, theirs) in both.items()
            if ours.value is not None and theirs.value is not None and ours.value != theirs.value
        }
        if differing:
            yield _fault(link, spare, main, differing)


def _fault(link: Link, spare: Pack, main: Pack, differing: dict[str, tuple[Setting, Setting]]) -> Fault:
    told = ", ".join(
        f"{_KEYS[key][0]} {_with_unit(ours, key)} ({main.id}: {_with_unit(theirs, key)})"
        for key, (ours, theirs) in differing.items()
    )
    values: dict[str, Value] = {}
    for key, (ours, theirs) in differing.items():
        values |= {f"spare_{key}": value(ours.value), f"main_{key}": value(theirs.value)}
    first = next(iter(differing))
    return Fault(
        f"{spare.at}/{first}",
        f"{spare.id} stands in for {main.id} and is set otherwise: {told}. {_swap(differing)} Write the same on {spare.id} "
        f"and set it, or change both.",
        (*subjects(link, spare), main.id),
        values,
        tuple(Mark(theirs.at, f"{main.id}: {_KEYS[key][0]}") for key, (_, theirs) in differing.items()),
    )


def _with_unit(found: Setting, key: str) -> str:
    return "none" if found.value == "none" else f"{text(found.value)}{_KEYS[key][1]}"


def _swap(differing: dict[str, tuple[Setting, Setting]]) -> str:
    ours, theirs = (setting.value for setting in differing.get("limiter_db", (Setting(0, ""), Setting(0, ""))))
    if "none" in (ours, theirs):
        return "A swap in the dark takes the limiter away." if ours == "none" else "A swap in the dark adds a limiter."
    gain, main_gain = (setting.value for setting in differing.get("gain_db", (Setting(0, ""), Setting(0, ""))))
    ceiling, level = ours - theirs, gain - main_gain
    if ceiling > 0:
        return f"A swap in the dark lets {text(ceiling)} dB more through to the ears."
    if level > 0:
        return f"A swap in the dark adds {text(level)} dB in the ears, up to the limiter."
    if ceiling or level:
        return f"A swap in the dark takes up to {text(max(-ceiling, -level))} dB away, and hands go to the volume."
    return "A swap in the dark changes what is heard."
