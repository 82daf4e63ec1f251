"""A pack that somebody wears while it is somebody else's spare.

What goes wrong: the guest wears PK-7L, and the list says it is also the spare for keys. The moment keys' pack dies
there is none. A pack on two links at once is `id-two-places`; a pack in a case may stand in for several people.

Bad::

    plan_format: 1
    kind: plan
    people: {guest: {does: guest singer}, keys: {does: keys}}
    devices: {PK-4: {}, PK-7: {}}
    links:
      ear-4: {kind: ear, packs: {PK-4: {person: keys}, PK-7: {stands_in_for: PK-4}}}
      ear-7: {kind: ear, packs: {PK-7: {person: guest}}}

Good::

    plan_format: 1
    kind: plan
    people: {guest: {does: guest singer}, keys: {does: keys}}
    devices: {PK-4: {}, PK-7: {}, PK-S: {}}
    links:
      ear-4: {kind: ear, packs: {PK-4: {person: keys}, PK-S: {stands_in_for: PK-4}}}
      ear-7: {kind: ear, packs: {PK-7: {person: guest}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import main_packs, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_packs

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack that is worn on one link and stands in on another while both are on the air."""
    yield from lacking_packs(plan)
    used = [(link, pack) for link, pack in worn(plan) if pack.stands_in_for is None]
    for link, pack in worn(plan):
        if pack.stands_in_for is None:
            continue
        for other, theirs in used:
            same = theirs.person is not None and theirs.person == _stood_in_for(link, pack)
            if theirs.id == pack.id and other.id != link.id and not same and facts.meet(link.id, other.id):
                yield _fault(link, pack, other, theirs)


def _fault(link: Link, spare: Pack, other: Link, theirs: Pack) -> Fault:
    wearer = theirs.person or f"somebody on {other.id}"
    whom = _stood_in_for(link, spare) or spare.stands_in_for
    return Fault(
        spare.at,
        f"{spare.id} is {wearer}'s on {other.id} and stands in for {whom} on {link.id} at the same time: there is no spare. Name "
        "another pack there, set to that link's carrier, or part the two links in the day.",
        tuple(sorted({spare.id, link.id, other.id})),
        {"pack": spare.id},
        (Mark(theirs.at, f"{wearer} wears it here", key=True),),
        key=True,
    )


def _stood_in_for(link: Link, spare: Pack) -> str | None:
    """Return the person whose pack a spare stands in for, if that is written."""
    return next((pack.person for pack in main_packs(link) if pack.id == spare.stands_in_for), None)
