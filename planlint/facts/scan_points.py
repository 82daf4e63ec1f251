"""The points of a scan: frequencies in rising order and a level at each."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from functools import cached_property
from itertools import islice
from operator import sub
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from array import array
    from collections.abc import Iterable

#: A gap more than this many steps wide is a hole: the rounding of a frequency makes steps uneven, not double.
HOLE_STEPS = 1.5


class Points:
    """Points of a scan. Nothing changes them after they were read.

    Attributes:
        hz: frequencies in Hz, each higher than the one before.
        dbm: the level at each, in dBm within the scan's resolution bandwidth.
    """

    def __init__(self, hz: array[int], dbm: array[float]) -> None:
        self.hz = hz
        self.dbm = dbm
        self._holes: dict[int, tuple[tuple[int, int], ...]] = {}

    def __len__(self) -> int:
        return len(self.hz)

    @cached_property
    def step_hz(self) -> int:
        """The usual step in Hz: the median of the steps between neighbours; 0 of a single point."""
        steps = sorted(map(sub, islice(self.hz, 1, None), self.hz))
        return steps[len(steps) // 2] if steps else 0

    @property
    def low_hz(self) -> int:
        """The lowest frequency in Hz."""
        return self.hz[0]

    @property
    def high_hz(self) -> int:
        """The highest frequency in Hz."""
        return self.hz[-1]

    @property
    def reach(self) -> tuple[float, float]:
        """What the points stand for, in Hz: half a step beyond the first and the last."""
        return self.low_hz - self.step_hz / 2, self.high_hz + self.step_hz / 2

    def within(self, low_hz: float, high_hz: float) -> range:
        """Return the indices of the points from `low_hz` to `high_hz`, both included."""
        return range(bisect_left(self.hz, low_hz), bisect_right(self.hz, high_hz))

    def levels(self, low_hz: float, high_hz: float) -> array[float]:
        """Return the levels in dBm from `low_hz` to `high_hz`, both included."""
        found = self.within(low_hz, high_hz)
        return self.dbm[found.start : found.stop]

    def holes(self, widest_hz: int) -> tuple[tuple[int, int], ...]:
        """Return the gaps between neighbouring points in which a signal could hide, as (lower, upper) in Hz.

        Args:
            widest_hz: the widest step that the house allows; a gap as wide passes.
        """
        least = max(widest_hz, int(self.step_hz * HOLE_STEPS))
        if least not in self._holes:
            gaps = map(sub, islice(self.hz, 1, None), self.hz)
            self._holes[least] = tuple(
                (self.hz[index], self.hz[index + 1]) for index, gap in enumerate(gaps) if gap > least
            )
        return self._holes[least]

    def covered(self, widest_hz: int) -> Iterator[tuple[int, int]]:
        """Yield the stretches without a hole, as (lower, upper) in Hz; points on their ends belong to them."""
        start = self.low_hz
        for low, high in self.holes(widest_hz):
            yield start, low
            start = high
        yield start, self.high_hz

    def cell(self, index: int) -> tuple[float, float]:
        """Return the stretch that a point stands for, in Hz: half way to its neighbours, half a step at the ends."""
        here = self.hz[index]
        before = here - self.hz[index - 1] if index else self.step_hz
        after = self.hz[index + 1] - here if index + 1 < len(self.hz) else self.step_hz
        return here - before / 2, here + after / 2


def median(levels: Iterable[float]) -> float | None:
    """Return the median of some levels, or None of none; half of them lie at or below it."""
    return share(levels, 0.5)


def share(levels: Iterable[float], part: float) -> float | None:
    """Return the level at or below which a part (0 to 1) of some levels lie, or None of none."""
    ordered = sorted(levels)
    return ordered[round(part * (len(ordered) - 1))] if ordered else None
