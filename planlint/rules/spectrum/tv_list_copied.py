"""The list of occupied TV channels equals the one of another town on the tour.

What goes wrong: the last venue's file was copied and nobody looked the channels up. Two towns hardly ever have
the same stations.

Bad::

    # file: venues/2026-03-14.yaml
    plan_format: 1
    kind: venue
    uses: [../tour.yaml]
    show: {town: Weirbridge, date: "2026-03-14"}
    spectrum: {tv_occupied: [14, 25]}
    # file: venues/2026-03-07.yaml
    plan_format: 1
    kind: venue
    uses: [../tour.yaml]
    show: {town: Saltmouth, date: "2026-03-07"}
    spectrum: {tv_occupied: [25, 14]}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {region: us}

Good::

    # file: venues/2026-03-14.yaml
    plan_format: 1
    kind: venue
    uses: [../tour.yaml]
    show: {town: Weirbridge, date: "2026-03-14"}
    spectrum: {tv_occupied: [16, 20]}
    # file: venues/2026-03-07.yaml
    plan_format: 1
    kind: venue
    uses: [../tour.yaml]
    show: {town: Saltmouth, date: "2026-03-07"}
    spectrum: {tv_occupied: [14, 25]}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {region: us}

The later show of the two is the copy; without dates, the later file by name.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where an earlier show in another town has the same list."""
    own = _channels(plan)
    if own is None:
        yield Unchecked(("/spectrum/tv_occupied",))
    if _town(plan) is None:
        yield Unchecked(("/show/town",))
    if facts.siblings is None:
        yield Unchecked(("/uses",))
    if own is None or _town(plan) is None or facts.siblings is None:
        return
    before = [other for other in facts.siblings if _order(other) < _order(plan)]
    same = [other for other in before if _channels(other) == own and _town(other) not in {None, _town(plan)}]
    if same:
        other = max(same, key=_order)
        town = other.show["town"]
        yield Fault(
            "/spectrum/tv_occupied",
            f"The occupied TV channels of {plan.show['town']} are exactly those of {town} ({other.file}). Look this "
            "town's up and write the source: a list from elsewhere misses stations that are on the air here.",
            (),
            {"channels": ", ".join(str(channel) for channel in sorted(own)), "other_town": str(town)},
        )


def _channels(plan: Plan) -> frozenset[int] | None:
    written = plan.section("spectrum").get("tv_occupied")
    return frozenset(written) if isinstance(written, list) else None


def _town(plan: Plan) -> str | None:
    town = plan.show.get("town")
    return " ".join(str(town).casefold().split()) if town is not None else None


def _order(plan: Plan) -> tuple[str, str]:
    return plan.date or "", plan.file
