"""A pack whose wearer cannot turn it down, and no word to the engineer.

What goes wrong: with the volume fixed, a burst of noise or feedback stays in the ear until somebody else acts. The
engineer must know whose pack that is and keep a hand on the mute.

Bad::

    plan_format: 1
    kind: plan
    pack_defaults: {volume: free}
    devices: {PK-4: {}}
    links: {ear-4: {kind: ear, packs: {PK-4: {volume: fixed}}}}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    pack_defaults: {volume: free}
    devices: {PK-4: {}}
    links: {ear-4: {kind: ear, packs: {PK-4: {volume: fixed}}}}
    cautions: [{about: fixed-volume, say: keys cannot turn down; the engineer keeps a hand on the mute}]

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import setting, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.caution_wording import ask, listed, settled, unwritten
from planlint.rules.packs import lacking_packs, named, subjects

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where a pack's volume is fixed and no caution is about it."""
    yield from unwritten(plan)
    if settled(plan, "fixed-volume"):
        return
    yield from lacking_packs(plan)
    fixed = []
    for link, pack in worn(plan):
        volume = setting(plan, pack, "volume")
        if volume.value is None:
            yield Unchecked((volume.at,), subjects(link, pack))
        elif volume.value == "fixed":
            fixed.append((link, pack, volume.at))
    if fixed:
        packs = listed(named(pack) for _, pack, _ in fixed)
        ids = [name for link, pack, _ in fixed for name in subjects(link, pack)]
        marks = [Mark(at, named(pack)) for _, pack, at in fixed]
        say = (
            f"Fixed volume on {packs}: the wearer cannot turn down and was told; the engineer keeps a hand on the mute."
        )
        yield from ask("fixed-volume", f"{packs}: volume fixed", say, ids, marks)
