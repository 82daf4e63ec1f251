"""A split pair and no word about testing it.

What goes wrong: two people hear one carrier, each one side of it. A swapped cable or a pack in stereo is found in
front of the audience. Muting left, then right, and asking who died finds it at sound check.

Bad::

    plan_format: 1
    kind: plan
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    links: {ear-7: {kind: ear, sends: stereo, feed: {left: g-a, right: g-b}}}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    links: {ear-7: {kind: ear, sends: stereo, feed: {left: g-a, right: g-b}}}
    cautions: [{about: split-pair, say: mute left, then right; ask who died}]

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.split import split_packs, splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.caution_wording import ask, listed, settled, unwritten
from planlint.rules.packs import lacking_feeds

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")

SAY = "Split pair: mute left, then right, and ask each time who died; it looks wrong on the units and is right."


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where a link is a split pair and no caution is about it."""
    yield from unwritten(plan)
    if settled(plan, "split-pair"):
        return
    yield from lacking_feeds(plan)
    pairs = list(splits(plan))
    if pairs:
        subjects = [name for link in pairs for name in (link.id, *(pack.id for pack in split_packs(link)))]
        marks = [Mark(f"{link.at}/feed", f"{link.id} is split") for link in pairs]
        yield from ask("split-pair", f"{listed(link.id for link in pairs)} feeds two people", SAY, subjects, marks)
