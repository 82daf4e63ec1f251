"""Work since the tour's show before: what has to be entered again, and how long there is for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.hands import retune
from planlint.facts.scan import midnight, minutes_into, taken
from planlint.finding import Touch
from planlint.plan.model import DayEntry, Plan

if TYPE_CHECKING:
    from planlint.facts import Facts


class Work(NamedTuple):
    """What is to be touched tonight.

    Attributes:
        touches: units and list entries, each once.
        links: the links with another carrier than at the show before, or none there, by id.
        marks: where their carriers are written.
        unknown: links used tonight whose carrier is not written.
    """

    touches: tuple[Touch, ...]
    links: tuple[str, ...]
    marks: tuple[str, ...]
    unknown: tuple[str, ...]


def work(plan: Plan, before: Plan) -> Work:
    """Return what the carriers that differ from an earlier show touch; a unit on several such links counts once."""
    touches: dict[tuple[str, str | None], Touch] = {}
    moved, unknown = [], []
    for name in sorted(plan.links):
        link, old = plan.links[name], before.links.get(name)
        if not link.wants_carrier:
            continue
        if link.carrier_hz is None:
            unknown.append(name)
        elif old is None or not old.used or old.carrier_hz != link.carrier_hz:
            moved.append(name)
            touches |= {(touch.unit, touch.entry): touch for touch in retune(plan, link)}
    marks = tuple(plan.links[name].carrier_at for name in moved)
    return Work(tuple(touches.values()), tuple(moved), marks, tuple(unknown))


def packs_on(plan: Plan) -> DayEntry | None:
    """Return the day's first entry `packs on`, or None."""
    return min(
        (entry for entry in plan.day if entry.what == "packs on"), key=lambda entry: entry.start_min, default=None
    )


def last_scan_min(plan: Plan, facts: Facts) -> int | None:
    """Return when the last scan before packs on was taken, in minutes of the show's date; None where that is unknown."""
    day, entry = midnight(plan), packs_on(plan)
    if day is None or entry is None:
        return None
    times = [taken(scan) for scan in facts.scans.all]
    if None in times:
        return None
    before = [minutes_into(day, at) for at in times if at is not None and minutes_into(day, at) <= entry.start_min]
    return max(before, default=None)
