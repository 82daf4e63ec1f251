"""Which images of the placed carriers a search keeps, and how one more carrier reads and extends them.

An image is a row of cells over raster positions j. It marks where rest[0] * v (+ rest[1] * w), taken over the
placed carriers v and w, comes near: |own * j - shift - value| < guard, all counted in steps. With own > 1 there is
one row for each shift 0 ... own - 1, so that a move by any multiple of a step is a move by whole cells of one row.
The guard of a cell is at least the image's floor and the guards of the carriers that made it, so a reader whose
own guard and whose placed carrier's guard are the floor finds the exact limit of the relation.

Masks keep images as bits, counters as small numbers; both move them alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from planlint.assign.raster.forms import KINDS, turns
from planlint.rf.intermodulation import Limits

Column = tuple[int, ...]
"""Guards of one kind, class by class: kinds with equal columns share their images."""


class Raster(NamedTuple):
    """Positions origin + step * index, index 0 ... size - 1."""

    origin: int
    step: int
    size: int


class Image(NamedTuple):
    """One row of cells: what it holds, and its first cell's position."""

    rest: tuple[int, ...]
    own: int
    shift: int
    floor: int
    column: Column
    low: int
    size: int


class Read(NamedTuple):
    """own * x = placed * y + rest: the rows to look at, one for each shift, and their first position."""

    own: int
    placed: int
    rows: tuple[int, ...]
    low: int


class Pairing(NamedTuple):
    """Extend pair row `row` by factor * y + (what the single rows hold)."""

    row: int
    shift: int
    own: int
    factor: int
    singles: tuple[int, ...]
    gap: int


class Mark(NamedTuple):
    """Extend single row `row` by factor * y, `windows` cells wide: (first, count) for each remainder."""

    row: int
    shift: int
    own: int
    factor: int
    windows: tuple[tuple[int, int], ...]
    low: int


class Layout:
    """The images for carriers of some classes on one raster.

    Attributes:
        images: the rows.
        reads: what a placed carrier of class y forbids to one of class x: `reads[y][x]`.
        pairings, marks: how a placed carrier of each class extends the rows; pairings come first.
    """

    def __init__(
        self, raster: Raster, classes: Sequence[Limits], placed: int, span: tuple[int, int] | None = None
    ) -> None:
        """Lay out the rows for the guards of each class; only carriers of the first `placed` ones come and go.

        Args:
            raster: where they go.
            classes: the guards of each class.
            placed: how many of the classes come and go.
            span: the lowest and highest position of any carrier, where some are fixed beyond the raster.
        """
        self.raster = raster
        low, high = span or (0, 0)
        self._span = (min(low, 0), max(high, raster.size - 1))
        self.classes = tuple(classes)
        self._placed = placed
        self.images: list[Image] = []
        self._rows: dict[tuple[tuple[int, ...], int, int, Column], tuple[int, ...]] = {}
        columns = [tuple(guards[kind] for guards in self.classes) for kind in range(len(KINDS))]
        self.kinds = frozenset(kind for kind, column in enumerate(columns) if any(column))
        count = range(placed)
        self.reads = [[self._reads(columns, y, x) for x in count] for y in count]
        self.pairings = [tuple(self._pairings(y)) for y in count]
        self.marks = [tuple(self._marks(y)) for y in count]

    def windows(self, own: int, guard: int) -> tuple[tuple[int, int], ...]:
        """Return (first, count) of the j with |own * j - remainder| < guard, for each remainder below own."""
        step = self.raster.step
        found = []
        for remainder in range(own):
            first, last = near(remainder * step, guard, own * step)
            found.append((first, last - first + 1))
        return tuple(found)

    def _reads(self, columns: Sequence[Column], y: int, x: int) -> tuple[Read, ...]:
        found = {}
        for turn in turns(self.kinds):
            column = columns[turn.kind]
            rows = self._need(turn.rest, turn.own, max(column[y], column[x]), column)
            found[turn.own, turn.placed, rows] = Read(turn.own, turn.placed, rows, self.images[rows[0]].low)
        return tuple(found.values())

    def _need(self, rest: tuple[int, ...], own: int, floor: int, column: Column) -> tuple[int, ...]:
        key = (rest, own, floor, column)
        if key not in self._rows:
            wide = max(floor, *column) // self.raster.step + 2
            low = (sum(min(factor * end for end in self._span) for factor in rest) - wide) // own - 1
            high = (sum(max(factor * end for end in self._span) for factor in rest) + wide + own) // own + 1
            first = len(self.images)
            for shift in range(own):
                self.images.append(Image(rest, own, shift, floor, column, low, high - low + 1))
            self._rows[key] = tuple(range(first, first + own))
            if len(rest) == 2:
                for factor in set(rest):
                    for guard in {max(floor, other) for other in column[: self._placed]}:
                        self._need((factor,), own, guard, column)
        return self._rows[key]

    def _pairings(self, y: int) -> Iterable[Pairing]:
        for row, image in enumerate(self.images):
            if len(image.rest) != 2:
                continue
            for factor, other in {image.rest, image.rest[::-1]}:
                floor = max(image.floor, image.column[y])
                singles = self._rows[(other,), image.own, floor, image.column]
                gap = self.images[singles[0]].low - image.low
                yield Pairing(row, image.shift, image.own, factor, singles, gap)

    def _marks(self, y: int) -> Iterable[Mark]:
        for row, image in enumerate(self.images):
            if len(image.rest) == 1:
                windows = self.windows(image.own, max(image.floor, image.column[y]))
                yield Mark(row, image.shift, image.own, image.rest[0], windows, image.low)


def near(value: int, guard: int, pitch: int) -> tuple[int, int]:
    """Return the first and last j with |pitch * j - value| < guard; last < first where there is none."""
    return (value - guard) // pitch + 1, -((-value - guard) // pitch) - 1
