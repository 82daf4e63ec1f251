"""Who is on the air together: half-open intervals of the day and the ids in each.

Without `day` all links and all others are on together. With it, for each interval: the ids its entries name
in `on_air`, every link that is named nowhere, and others by their own times, or always where they have none
and are named nowhere. `all` names every link that is no stand-in. Stand-ins are on only where a list names
them; unused links never are.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from planlint.plan.model import DayEntry, Plan


class Interval(NamedTuple):
    """A stretch of the day, [start, end) in minutes since midnight of the show's date, and who is on in it.

    Both are None for the one interval of a plan that writes no day.
    """

    start_min: int | None
    end_min: int | None
    ids: frozenset[str]


def intervals(plan: Plan) -> tuple[Interval, ...]:
    """Return the intervals of the day in order; a plan without a day has one that never ends."""
    usual = frozenset(name for name, link in plan.links.items() if link.used and link.stands_in_for is None)
    if not plan.day:
        return (Interval(None, None, usual | frozenset(plan.others)),)
    named = {name for entry in plan.day if isinstance(entry.on_air, tuple) for name in entry.on_air}
    spans = _spans(plan)
    edges = sorted({edge for span in spans.values() for edge in span} | _other_edges(plan))
    return tuple(Interval(start, end, _ids(plan, start, usual, named, spans)) for start, end in pairwise(edges))


def together(plan: Plan) -> tuple[frozenset[str], ...]:
    """Return the different sets of ids that are on together, without those that another set contains."""
    found = sorted({interval.ids for interval in intervals(plan)}, key=lambda ids: (-len(ids), sorted(ids)))
    kept: list[frozenset[str]] = []
    for ids in found:
        if not any(ids <= larger for larger in kept):
            kept.append(ids)
    return tuple(kept)


def _spans(plan: Plan) -> dict[DayEntry, tuple[int, int]]:
    last = max((entry.end_min or entry.start_min for entry in plan.day), default=0)
    return {
        entry: (entry.start_min, entry.end_min if entry.end_min is not None else max(last, entry.start_min + 1))
        for entry in plan.day
    }


def _other_edges(plan: Plan) -> set[int]:
    return {edge for other in plan.others.values() for edge in (other.start_min, other.end_min) if edge is not None}


def _ids(
    plan: Plan, minute: int, usual: frozenset[str], named: set[str], spans: dict[DayEntry, tuple[int, int]]
) -> frozenset[str]:
    on = set(usual - named)
    for entry, (start, end) in spans.items():
        if start <= minute < end:
            if entry.on_air == "all":
                on |= usual
            elif entry.on_air is not None:
                on |= {name for name in entry.on_air if name in plan.others or _can_be_on(plan, name)}
    for name, other in plan.others.items():
        if other.start_min is None and other.end_min is None:
            if name not in named:
                on.add(name)
        elif (other.start_min is None or other.start_min <= minute) and (
            other.end_min is None or minute < other.end_min
        ):
            on.add(name)
    return frozenset(on)


def _can_be_on(plan: Plan, name: str) -> bool:
    return name in plan.links and plan.links[name].used
