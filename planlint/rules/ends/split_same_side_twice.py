"""Every pack of a split pair turned to the same side.

What goes wrong: one person hears the other's mix, and the mix on the other side is heard by nobody. Packs that
double or stand in for another are left out.

Bad::

    plan_format: 1
    kind: plan
    people: {guest-a: {}, guest-b: {}}
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {for: guest-a, width: mono}, g-b: {for: guest-b, width: mono}}
    pack_defaults: {decodes: stereo, ear_feed: mono, balance_pct: -100}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {person: guest-a}, PK-7R: {person: guest-b}}

Good::

    plan_format: 1
    kind: plan
    people: {guest-a: {}, guest-b: {}}
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {for: guest-a, width: mono}, g-b: {for: guest-b, width: mono}}
    pack_defaults: {decodes: stereo, ear_feed: mono, balance_pct: -100}
    links:
      duo:
        kind: ear
        tx: TX-7
        sends: stereo
        feed: {left: g-a, right: g-b}
        packs: {PK-7L: {person: guest-a}, PK-7R: {person: guest-b, balance_pct: 100}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import setting
from planlint.facts.split import Side, one_side, other, split_packs, splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_split_packs, named, subjects, who

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each split pair whose packs are all turned to one side."""
    yield from lacking_split_packs(plan)
    for link in splits(plan):
        packs = split_packs(link)
        for pack in packs:
            if setting(plan, pack, "balance_pct").value is None:
                yield Unchecked((f"{pack.at}/balance_pct",), subjects(link, pack))
        together = one_side(plan, link)
        if together is not None:
            yield _fault(plan, link, packs, together)


def _fault(plan: Plan, link: Link, packs: list[Pack], together: Side) -> Fault:
    feed = link.feed or {}
    far = other(together)
    owner = plan.section("mixes").get(feed[far], {}).get("for")
    moved = next((pack for pack in packs if pack.person and pack.person == owner), packs[-1])
    marks = (Mark(f"{pack.at}/balance_pct", f"{pack.id} is turned {together}") for pack in packs if pack != moved)
    return Fault(
        f"{moved.at}/balance_pct",
        f"{joined(named(pack) for pack in packs)} are turned {together} on split pair {link.id}: all hear "
        f"{feed[together]}, nobody hears {feed[far]}. Turn {moved.id} fully {far} "
        f"({'-100' if far == 'left' else '100'}), or {who(moved)} hears somebody else's mix.",
        subjects(link, *packs),
        {"side": together, "packs": len(packs)},
        tuple(marks),
    )
