"""The day, clock text to minutes that run on past midnight, and the scenes of the show."""

from __future__ import annotations

from typing import Any, Literal

from planlint.plan.model import DayEntry, Scene
from planlint.plan.quantity import MINUTES_PER_DAY, minutes

#: An entry that stands this far before the one above it is after midnight; less far back, it is out of order.
_ROLLS_OVER = MINUTES_PER_DAY // 2


def build_day(entries: Any) -> tuple[DayEntry, ...]:
    """Build the day's entries in written order; minutes count from midnight of the show's date."""
    written = [
        (index, entry) for index, entry in enumerate(entries if isinstance(entries, list) else ()) if "at" in entry
    ]
    starts: list[int] = []
    midnight = 0
    for _, entry in written:
        start = minutes(entry["at"]) + midnight
        if starts and starts[-1] - start > _ROLLS_OVER:
            midnight += MINUTES_PER_DAY
            start += MINUTES_PER_DAY
        starts.append(start)
    built = []
    for (index, entry), start in zip(written, starts, strict=True):
        end: int | None
        if "until" in entry:
            end = minutes(entry["until"]) + start - start % MINUTES_PER_DAY
            end += MINUTES_PER_DAY if end < start else 0
        else:
            end = min((later for later in starts if later > start), default=None)
        built.append(
            DayEntry(
                what=str(entry.get("what", "")),
                start_min=start,
                end_min=end,
                written_until="until" in entry,
                on_air=_ids(entry.get("on_air")),
                units=_ids(entry.get("units")),
                at=f"/day/{index}",
                scenes=None if entry.get("scenes") is None else tuple(entry["scenes"]),
            )
        )
    return tuple(built)


def build_scenes(entries: Any) -> tuple[Scene, ...]:
    """Build the scenes in written order; one whose name or ids are wrong counts as unwritten."""
    return tuple(
        Scene(entry["scene"], _ids(entry["on_air"]) or (), f"/scenes/{index}")
        for index, entry in enumerate(entries if isinstance(entries, list) else ())
        if "scene" in entry and "on_air" in entry
    )


def _ids(value: Any) -> tuple[str, ...] | Literal["all"] | None:
    if isinstance(value, list):
        return tuple(value)
    return "all" if value == "all" else None
