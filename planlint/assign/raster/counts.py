"""How many relations each position would close, exactly, while carriers come and go.

The images of `planlint.assign.raster.layout` as small numbers instead of bits: adding and removing a carrier are a
few additions of whole rows. A search that tolerates a few relations for a while reads from here where a carrier
would take part in the fewest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from planlint.assign.raster.forms import KINDS
from planlint.assign.raster.layout import Layout, Read

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Cells = NDArray[np.int16]

NEAR = 1_000
"""What a carrier nearer than the spacing adds to a position: more than relations ever do."""
CLOSED = 20_000
"""What a position counts that is not allowed, or that fixed carriers close."""

Change = Callable[..., Any]


class _Look(NamedTuple):
    """A read on arrays: rows one for each remainder, and the cell at which an unmoved row begins."""

    own: int
    placed: int
    rows: tuple[Cells, ...]
    base: int


class Counts:
    """Relation counts for carriers of the first class of a layout.

    Attributes:
        counts: for each position the relations that a carrier there would take part in, shape (size,); `NEAR` more
            for each carrier nearer than the spacing; at a carrier's own position its relations plus `NEAR`.
        members: the carriers' positions.
    """

    def __init__(self, layout: Layout, cells_apart: int, free: Cells, rows: Sequence[Cells]) -> None:
        """Start with no carriers.

        Args:
            layout: whose images are kept; only its first class comes and goes.
            cells_apart: least distance of two carriers in positions.
            free: 1 where a carrier may stand among the fixed ones alone, else 0; shape (size,).
            rows: the images of the fixed carriers, 0 or 1, one for each row of the layout.
        """
        self.size = layout.raster.size
        self.counts: Cells = np.where(free > 0, 0, CLOSED).astype(np.int16)
        self.members: list[int] = []
        self._apart = cells_apart
        self._layout = layout
        # a relation of four coefficients has a member for x as well, which turns it into one of fewer
        self._crossed = KINDS.index("three_signal_fifth") in layout.kinds
        self._beside = np.full(2 * cells_apart - 1, NEAR, np.int16)
        self._arrays, self._lows, cores = self._rows(rows)
        self._buffer = np.empty_like(self.counts)
        self._looks = [self._look(read.own, read.placed, read.rows) for read in layout.reads[0][0]]
        self._away, self._back = self._without_program(layout.reads[0][0])
        self._pairs = [
            (self._arrays[row], shift, own, factor, [cores[single] for single in singles], gap + first)
            for row, shift, own, factor, singles, gap in layout.pairings[0]
            for first in [layout.images[row].low - self._lows[row]]
        ]
        self._marks = [
            (
                self._arrays[row], shift, own, factor,
                [(first - self._lows[row], np.ones(max(count, 0), np.int16)) for first, count in windows],
            )
            for row, shift, own, factor, windows, _ in layout.marks[0]
        ]  # fmt: skip

    def add(self, index: int) -> None:
        """Place a carrier at a position."""
        self._apply(index, np.add)
        self._pair(index, np.add)
        self._mark(index, 1)
        self.members.append(index)

    def remove(self, index: int) -> None:
        """Take a carrier away."""
        self.members.remove(index)
        self._mark(index, -1)
        self._pair(index, np.subtract)
        self._apply(index, np.subtract)

    def without(self, index: int) -> Cells:
        """Return the counts if one of the carriers were away.

        Not exact at positions nearer to another carrier than half a guard or the spacing: those are not free.
        The array is used again by the next call.
        """
        found, before, size = self._buffer, self.counts, self.size
        if not self._away:
            np.copyto(found, before)
        for own, placed, rows, base in self._away:
            if own == 1:
                row, start = rows[0], base - placed * index
            else:
                move, remainder = divmod(placed * index, own)
                row, start = rows[remainder], base - move
            np.subtract(before, row[start : start + size], found)
            before = found
        if self._back:
            _look(self._back, found, index, np.add)
        first = index - self._apart + 1
        cut = max(-first, 0)
        beside = found[first + cut : index + self._apart]
        np.subtract(beside, self._own[cut : cut + len(beside)], beside)
        return found

    def conflicts(self) -> list[int]:
        """Return how many relations each member takes part in, in the order of `members`."""
        if self._crossed:
            return [int(self.without(index)[index]) for index in self.members]
        own: list[int] = self.counts[self.members].tolist()
        return [count - NEAR for count in own]

    def _apply(self, index: int, change: Change) -> None:
        _look(self._looks, self.counts, index, change)
        beside = self.counts[max(index - self._apart + 1, 0) : index + self._apart]
        change(beside, self._beside[: len(beside)], beside)

    def _pair(self, index: int, change: Change) -> None:
        for cells, shift, own, factor, singles, base in self._pairs:
            if own == 1:
                source, start = singles[0], base + factor * index
            else:
                move, remainder = divmod(shift + factor * index, own)
                source, start = singles[remainder], base + move
            part = cells[start : start + len(source)]
            change(part, source, part)

    def _mark(self, index: int, sign: int) -> None:
        for cells, shift, own, factor, windows in self._marks:
            if own == 1:
                first, ones = windows[0]
                start = first + factor * index
            else:
                move, remainder = divmod(shift + factor * index, own)
                first, ones = windows[remainder]
                start = first + move
            if len(ones) == 1:
                cells[start] += sign
            elif len(ones):
                cells[start : start + len(ones)] += ones * sign

    def _rows(self, filled: Sequence[Cells]) -> tuple[list[Cells], list[int], list[Cells]]:
        """Return the arrays, wide enough for every read; their first positions; and the images within them."""
        last = self.size - 1
        low = [image.low for image in self._layout.images]
        high = [image.low + image.size for image in self._layout.images]
        for own, placed, rows in self._all_reads():
            far = sorted(-(placed * end // own) for end in (0, last))
            for row in rows:
                low[row] = min(low[row], far[0] - 2)
                high[row] = max(high[row], far[1] + self.size + 2)
        for row, _, own, factor, singles, _ in self._layout.pairings[0]:
            ends = [factor * end // own for end in (0, last)]
            for single in singles:
                image = self._layout.images[single]
                low[row] = min(low[row], min(ends) + image.low - 2)
                high[row] = max(high[row], max(ends) + image.low + image.size + 2)
        arrays = [np.zeros(high[row] - low[row], np.int16) for row in range(len(low))]
        cores = []
        for row, image in enumerate(self._layout.images):
            core = arrays[row][image.low - low[row] :][: image.size]
            core[: len(filled[row])] = filled[row]
            cores.append(core)
        return arrays, low, cores

    def _all_reads(self) -> list[tuple[int, int, tuple[int, ...]]]:
        found = []
        for own, placed, rows, _ in self._layout.reads[0][0]:
            found.append((own, placed, rows))
            found += [(own, placed + factor, singles) for factor, singles in self._partners(rows)]
        return found

    def _partners(self, rows: tuple[int, ...]) -> list[tuple[int, tuple[int, ...]]]:
        """Return (factor, single rows) of the ways in which one carrier takes part in a pair image."""
        return [(p.factor, p.singles) for p in self._layout.pairings[0] if p.row == rows[0]]

    def _look(self, own: int, placed: int, rows: tuple[int, ...]) -> _Look:
        return _Look(own, placed, tuple(self._arrays[row] for row in rows), -self._lows[rows[0]])

    def _without_program(self, reads: Sequence[Read]) -> tuple[list[_Look], list[_Look]]:
        """Return reads to take off and to put back, so that a carrier's share goes while the images still hold it."""
        weights: dict[tuple[int, int, tuple[int, ...]], int] = {}
        for own, placed, rows, _ in reads:
            weights[own, placed, rows] = weights.get((own, placed, rows), 0) + 1
            for factor, singles in self._partners(rows):
                if placed + factor or own > 1:  # else only positions beside other carriers
                    key = (own, placed + factor, singles)
                    weights[key] = weights.get(key, 0) - 1
        offsets = np.abs(np.arange(1 - self._apart, self._apart)) * self._layout.raster.step
        self._own = np.full(len(offsets), NEAR, np.int16)
        away, back = [], []
        for (own, placed, rows), weight in sorted(weights.items()):
            look = self._look(own, placed, rows)
            away += [look] * max(weight, 0)
            back += [look] * max(-weight, 0)
            image = self._layout.images[rows[0]]
            if len(image.rest) == 1:
                guard = max(image.floor, image.column[0])
                self._own -= np.int16(weight) * (own * offsets < guard).astype(np.int16)
        return away, back


def _look(looks: Sequence[_Look], counts: Cells, index: int, change: Change) -> None:
    size = len(counts)
    for own, placed, rows, base in looks:
        if own == 1:
            start = base - placed * index
            change(counts, rows[0][start : start + size], counts)
        else:
            move, remainder = divmod(placed * index, own)
            start = base - move
            change(counts, rows[remainder][start : start + size], counts)
