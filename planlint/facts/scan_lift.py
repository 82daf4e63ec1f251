"""A scan's floor that is up as a whole: over the last visit's, or over its own quietest part."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.scan_points import Points, median, share
from planlint.rf.decibel import ratio_to_db

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planlint.facts.scan import Scan

#: A floor so far up is lifted, where that holds over more than so much spectrum.
LIFT_DB = 6.0
LIFT_OVER_HZ = 50_000_000
_BLOCK_HZ = 1_000_000
_QUIETEST = 0.1


class Lift(NamedTuple):
    """How far a floor is up, in dB (the median of what is up), and over how much spectrum, in Hz."""

    shift_db: float
    over_hz: int

    @property
    def is_lifted(self) -> bool:
        """Whether so much spectrum is up that it is no signal but the floor."""
        return self.over_hz > LIFT_OVER_HZ


def comparable(scan: Scan, other: Scan) -> bool:
    """Say whether two scans' floors can be compared: the same kind of place, antenna and way of measuring."""
    same = all(scan.spec.get(key) == other.spec.get(key) for key in ("for", "antenna", "held", "detector"))
    return same and scan.resolution_hz is not None and other.resolution_hz is not None


def over_last_visit(now: tuple[Scan, Points], before: tuple[Scan, Points], without: list[tuple[int, int]]) -> Lift:
    """Return how far a scan's floor is up on that of a comparable one; `without` are ranges in Hz that do not count."""
    block_hz = _block_hz(now[1], before[1])
    scale = ratio_to_db((now[0].resolution_hz or 1) / (before[0].resolution_hz or 1))
    here, there = _floors(now[1], block_hz, without), _floors(before[1], block_hz, without)
    return _lift({block: here[block] - there[block] - scale for block in here.keys() & there.keys()}, block_hz)


def over_own_quietest(points: Points, without: list[tuple[int, int]]) -> Lift:
    """Return how far a scan's floor is up on that of its quietest tenth; `without` are ranges that do not count."""
    block_hz = _block_hz(points, points)
    floors = _floors(points, block_hz, without)
    quiet = share(floors.values(), _QUIETEST)
    return _lift({block: level - quiet for block, level in floors.items()} if quiet is not None else {}, block_hz)


def _block_hz(first: Points, second: Points) -> int:
    return max(_BLOCK_HZ, first.step_hz, second.step_hz)


def _lift(shifts: Mapping[int, float], block_hz: int) -> Lift:
    up = [shift for shift in shifts.values() if shift > LIFT_DB]
    return Lift(median(up) or 0.0, len(up) * block_hz)


def _floors(points: Points, block_hz: int, without: list[tuple[int, int]]) -> dict[int, float]:
    """Return the median level of each block that holds points, by the block's number from 0 Hz."""
    floors = {}
    for block in range(points.low_hz // block_hz, points.high_hz // block_hz + 1):
        low, high = block * block_hz, (block + 1) * block_hz
        if any(first < high and low < last for first, last in without):
            continue
        level = median(points.levels(low, high - 1))
        if level is not None:
            floors[block] = level
    return floors
