"""Acts: clock text to minutes of a festival's day, which runs on past midnight.

An act whose first clock time is before 06:00 is the night after the show's date; each further time of an act is the
next one by the clock.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from planlint.document.nodes import escape
from planlint.plan.model import Act
from planlint.plan.quantity import MINUTES_PER_DAY, minutes

#: Until when a clock time belongs to the night before.
NIGHT_ENDS_MIN = 6 * 60


def build_acts(acts: Mapping[str, Any]) -> Iterator[Act]:
    """Yield the acts of a plan, by id."""
    for name in sorted(acts):
        spec = acts[name]
        if isinstance(spec, dict):
            line_check, start, end = times(spec.get("line_check"), spec.get("at"), spec.get("until"))
            yield Act(
                id=name,
                stage=spec.get("stage"),
                holds=tuple(sorted({str(item) for item in spec.get("holds", ())})),
                on_min=start if line_check is None else line_check,
                start_min=start,
                end_min=end,
                spec=spec,
                at=f"/acts/{escape(name)}",
            )


def times(*clocks: str | None) -> list[int | None]:
    """Return clock times in minutes since midnight, each at or after the one before it; unwritten ones stay None."""
    last: int | None = None
    found: list[int | None] = []
    for clock in clocks:
        if clock is None:
            found.append(None)
            continue
        minute = minutes(clock)
        if last is None:
            minute += MINUTES_PER_DAY if minute < NIGHT_ENDS_MIN else 0
        while last is not None and minute < last:
            minute += MINUTES_PER_DAY
        found.append(minute)
        last = minute
    return found
