"""Walking distances that are another venue's.

What goes wrong: the stage has a thrust that last week's had not, and the margins are computed for last week's
walk. Distances of people that are all equal to those of an earlier show in another place were hardly paced; a
`default_m` alone says nothing and is not compared.

Bad::

    # file: two.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {place: Millrace Hall, date: "2026-03-14"}
    reach: {default_m: 12, vox: {farthest_m: 18}}
    # file: one.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {place: Harbour Shed, date: "2026-03-07"}
    reach: {default_m: 12, vox: {farthest_m: 18}}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    people: {vox: {does: lead singer}}

Good::

    # file: two.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {place: Millrace Hall, date: "2026-03-14"}
    reach: {default_m: 12, vox: {farthest_m: 21}}
    # file: one.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {place: Harbour Shed, date: "2026-03-07"}
    reach: {default_m: 12, vox: {farthest_m: 18}}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    people: {vox: {does: lead singer}}

The later show of the two is the copy; without dates, the later file by name.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where an earlier show in another place has the same distances."""
    place = _place(plan)
    if "reach" not in plan.values:
        yield Unchecked(("/reach",))
    if place is None:
        yield Unchecked(("/show/place",))
    if facts.siblings is None:
        yield Unchecked(("/uses",))
    own = _distances(plan)
    if not own or place is None or facts.siblings is None:
        return
    before = [other for other in facts.siblings if _order(other) < _order(plan)]
    same = [other for other in before if _distances(other) == own and _place(other) not in {None, place}]
    if same:
        other = max(same, key=_order)
        yield Fault(
            "/reach",
            f"The walking distances of {plan.show['place']} are exactly those of {other.show['place']} ({other.file}). Pace "
            "this stage once, from the antenna to each person's farthest spot: the margins are computed from it.",
            (),
            {"people": ", ".join(sorted(own)), "other_place": str(other.show["place"])},
        )


def _distances(plan: Plan) -> dict[str, float]:
    """Return the written distance of each person in m."""
    return {
        person: float(walk["farthest_m"])
        for person, walk in plan.section("reach").items()
        if isinstance(walk, dict) and "farthest_m" in walk
    }


def _place(plan: Plan) -> str | None:
    place = plan.show.get("place")
    return " ".join(str(place).casefold().split()) if place is not None else None


def _order(plan: Plan) -> tuple[str, str]:
    return plan.date or "", plan.file
