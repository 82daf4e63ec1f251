"""Somebody with a pack or a microphone tonight whom the roster has off.

What goes wrong: the rota changed on Thursday and the plan is last Sunday's. The pack hangs on its hook with fresh cells, and
whoever came instead asks which one is theirs.

Bad::

    plan_format: 1
    kind: plan
    show: {date: "2027-09-05"}
    people: {keys: {does: piano}, singer: {does: second voice}}
    links: {mic-2: {kind: mic, person: singer}}
    roster: {sep-5: {date: "2027-09-05", present: [keys]}}

Good::

    plan_format: 1
    kind: plan
    show: {date: "2027-09-05"}
    people: {keys: {does: piano}, singer: {does: second voice}}
    links: {mic-2: {kind: mic, person: singer}}
    roster: {sep-5: {date: "2027-09-05", present: [keys, singer]}}

Entries of one date add up; one that names a show is for that show alone. Who is `away` is off whatever else is written. A date
that the roster does not have is not checked.

Source: the plan's own lists; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import main_packs
from planlint.facts.roster import Tonight, lacking, tonight
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="link", source="the plan's own lists")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person who is off and is named on a link used tonight."""
    needs = lacking(plan)
    if needs:
        yield Unchecked(needs)
    if not plan.links:
        yield Unchecked(("/links",))
    roster = tonight(plan)
    if roster is None:
        return
    places: dict[str, list[tuple[str, str]]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        found = [(link.person, f"{link.at}/person")] if link.person else []
        found += [(pack.person, f"{pack.at}/person") for pack in main_packs(link) if pack.person]
        for person, at in found if link.used else ():
            places.setdefault(person, []).append((name, at))
    unknown = [person for person in places if roster.away(person) is None]
    if unknown:
        ids = tuple(sorted({name for person in unknown for name, _ in places[person]}))
        yield Unchecked(tuple(f"{entry.at}/present" for entry in roster.entries), ids)
    for person in sorted(places):
        if roster.away(person):
            yield _fault(plan, roster, person, places[person])


def _fault(plan: Plan, roster: Tonight, person: str, places: list[tuple[str, str]]) -> Fault:
    links = list(dict.fromkeys(name for name, _ in places))
    return Fault(
        places[0][1],
        f"{person} is on {joined(links)} tonight, and off by the roster of {plan.date}. Ask who comes instead and put them on "
        f"{'it' if len(links) == 1 else 'them'}, with their own ears and level; or write {links[0]} unused, or mend the roster.",
        tuple(links),
        {"person": person, "date": str(plan.date)},
        (Mark(roster.said_at(person), "the roster"), *(Mark(at, "and here") for _, at in places[1:])),
    )
