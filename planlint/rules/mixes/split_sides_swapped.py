"""A pack of a split pair turned to the side that carries somebody else's mix.

What goes wrong: two cables are crossed at the transmitter, or two packs were handed out the wrong way round.
Each guest hears the other, and both ask for more of themselves.

Bad::

    plan_format: 1
    kind: plan
    people: {guest-a: {}, guest-b: {}}
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {for: guest-a, width: mono}, g-b: {for: guest-b, width: mono}}
    pack_defaults: {ear_feed: mono}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-b, right: g-a}
        packs: {PK-7L: {person: guest-a, balance_pct: -100}, PK-7R: {person: guest-b, balance_pct: 100}}

Good::

    plan_format: 1
    kind: plan
    people: {guest-a: {}, guest-b: {}}
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {for: guest-a, width: mono}, g-b: {for: guest-b, width: mono}}
    pack_defaults: {ear_feed: mono}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {person: guest-a, balance_pct: -100}, PK-7R: {person: guest-b, balance_pct: 100}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.packs import setting
from planlint.facts.split import Side, one_side, side, split_packs, splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_split_packs, sender, subjects

RULE = Rule(severity="error", group="link", source="common practice, no source")


class _Wrong(NamedTuple):
    pack: Pack
    side: Side
    mix: str
    owner: str


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each split pair in which a pack hears a mix made for somebody else."""
    yield from lacking_split_packs(plan)
    for link in splits(plan):
        wrong = []
        for pack in split_packs(link):
            found = _judge(plan, link, pack)
            if isinstance(found, Unchecked):
                yield found
            elif found is not None:
                wrong.append(found)
        if wrong and one_side(plan, link) is None:
            yield _fault(link, wrong)


def _judge(plan: Plan, link: Link, pack: Pack) -> _Wrong | Unchecked | None:
    balance = setting(plan, pack, "balance_pct").value
    turned = side(balance)
    if balance is None:
        return Unchecked((f"{pack.at}/balance_pct",), subjects(link, pack))
    if turned is None:
        return None
    mix = (link.feed or {})[turned]
    owner = plan.section("mixes").get(mix, {}).get("for")
    missing = [] if pack.person else [f"{pack.at}/person"]
    missing += [] if owner else [f"/mixes/{escape(mix)}/for"]
    if missing:
        return Unchecked(tuple(missing), subjects(link, pack))
    return None if owner == pack.person else _Wrong(pack, turned, mix, owner)


def _fault(link: Link, wrong: list[_Wrong]) -> Fault:
    tx = sender(link)
    told = "; ".join(
        f"the {found.side} input of {tx} carries {found.mix}, made for {found.owner}, and {found.pack.id}, turned "
        f"{found.side}, is worn by {found.pack.person}"
        for found in wrong
    )
    crossed = {found.owner for found in wrong} == {found.pack.person for found in wrong} and len(wrong) > 1
    do = (
        f"Swap the two cables at {tx}, or the two packs"
        if crossed
        else f"Patch the wearer's mix there, at the desk and at {tx}, or give the pack to the mix's owner"
    )
    return Fault(
        f"{link.at}/feed/{wrong[0].side}",
        f"{told}. {do}: as it stands they hear somebody else's mix.",
        (link.id, *((link.tx,) if link.tx else ()), *(found.pack.id for found in wrong)),
        {"wrong": len(wrong)},
        tuple(Mark(found.pack.at, f"{found.pack.id}, worn by {found.pack.person}", key=True) for found in wrong),
    )
