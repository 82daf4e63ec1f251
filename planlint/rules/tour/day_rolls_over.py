"""A time that is read as the day after the show's date.

What goes wrong: `until: "00:30"` is the next day, and everything counted across midnight (who is on together, how
long cells must last) depends on that reading. The note says which date was taken, so that a slip of the pen
(12:30 for 22:30) is seen.

Bad::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    day: [{what: show, at: "21:10", until: "00:30"}]

Good::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    day: [{what: show, at: "21:10", until: "22:45"}]

Source: the plan format: `until` before `at` is the next day.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import DayEntry, Other
from planlint.plan.quantity import MINUTES_PER_DAY, clock
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="the plan format's day")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each entry, and each of the others' times, that reaches into the next day."""
    if "day" not in plan.values:
        yield Unchecked(("/day",))
    for entry in plan.day:
        if entry.start_min >= MINUTES_PER_DAY:
            yield _fault(plan, f"{entry.at}/at", f"'{entry.what}' begins", entry.start_min, entry)
        elif entry.written_until and entry.end_min is not None and entry.end_min >= MINUTES_PER_DAY:
            yield _fault(plan, f"{entry.at}/until", f"'{entry.what}' ends", entry.end_min, entry)
    for name in sorted(plan.others):
        other = plan.others[name]
        if other.end_min is not None and other.end_min >= MINUTES_PER_DAY:
            yield _fault(plan, f"{other.at}/until", f"{name} goes off the air", other.end_min, other)


def _fault(plan: Plan, at: str, what: str, minute: int, item: DayEntry | Other) -> Fault:
    days, date = minute // MINUTES_PER_DAY, _later(plan.date, minute // MINUTES_PER_DAY)
    day = f"taken as {date}, the day after the show's date" if date else "taken as the day after the show's"
    values: dict[str, Value] = {"clock": clock(minute), "days_after": days}
    if date:
        values["date"] = date
    long = ""
    if item.start_min is not None and item.end_min is not None:
        values["lasts_h"] = round((item.end_min - item.start_min) / 60, 2)
        long = f" It then lasts {values['lasts_h']:g} h, counted across midnight."
    subjects = (item.id,) if isinstance(item, Other) else ()
    return Fault(
        at, f"{what} at {clock(minute)}: {day}.{long} If that is not meant, write the time anew.", subjects, values
    )


def _later(date: str | None, days: int) -> str | None:
    """Return the date some days after a written one; None where none is written, or it is no date of the calendar."""
    from datetime import datetime, timedelta

    try:
        first = datetime.fromisoformat(date or "").date()
    except ValueError:
        return None
    return (first + timedelta(days=days)).isoformat()
