"""Free-slot masks: where one more carrier is clear of everything placed so far, exactly, as bits.

A state is a value: placing a carrier gives a new one, in a few moves of whole bitmaps (Python integers of one bit
for each position), whatever the number of carriers. Going back is keeping the old state.

Source: the condition for adding a carrier to a clean set, equation by equation, follows from the definition in
`planlint.rf.intermodulation`; the tests compare it with plain enumeration.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planlint.assign.raster.forms import equations
from planlint.assign.raster.layout import Layout, Raster
from planlint.rf.intermodulation import Limits

if TYPE_CHECKING:
    from numpy.typing import NDArray

    _Values = tuple[NDArray[np.int64], NDArray[np.int64], int]
    """Sums, the guard of each, and how often the one looked for stands against them."""


class State(NamedTuple):
    """What is placed so far.

    Attributes:
        free: for each class, a bit for each position where one more carrier of that class is clear.
        rows: the images of `planlint.assign.raster.layout`.
    """

    free: tuple[int, ...]
    rows: tuple[int, ...]


class Masks:
    """Masks for carriers of some classes on one raster, all on the air together."""

    def __init__(
        self, raster: Raster, classes: Sequence[Limits], spacing: Sequence[Sequence[int]],
        placed: int | None = None, span: tuple[int, int] | None = None,
    ) -> None:  # fmt: skip
        """Prepare for carriers of some classes.

        Args:
            raster: the positions.
            classes: the guards of each class.
            spacing: the least distance of two carriers by their classes, in the problem's unit.
            placed: how many of the classes, from the first, are to be placed; the rest are `around`. None: all.
            span: the lowest and highest position of any carrier, where some are fixed beyond the raster.
        """
        self.raster = raster
        placed = len(classes) if placed is None else placed
        self.layout = Layout(raster, classes, placed, span)
        self._count = range(placed)
        self._spacing = spacing
        self._whole = (1 << raster.size) - 1
        reach = [[-(-distance // raster.step) - 1 for distance in row] for row in spacing]
        self._near = [[(cells, (1 << max(2 * cells + 1, 0)) - 1) for cells in row] for row in reach]
        self._marks = [
            tuple(
                (mark, tuple((mark.low - first, (1 << max(count, 0)) - 1) for first, count in mark.windows))
                for mark in marks
            )
            for marks in self.layout.marks
        ]
        reads = self.layout.reads
        self._alike = [
            [next(other for other in self._count if reads[y][other] == reads[y][x]) for x in self._count]
            for y in self._count
        ]

    def start(self, allowed: Sequence[int] | None = None) -> State:
        """Return the state with nothing placed; `allowed` masks the positions of each class."""
        free = tuple(allowed) if allowed is not None else (self._whole,) * len(self._count)
        return State(free, (0,) * len(self.layout.images))

    def add(self, state: State, index: int, y: int = 0) -> State:
        """Return the state with a carrier of class y placed at a position."""
        free = list(state.free)
        products: dict[int, int] = {}
        for x in self._count:
            like = self._alike[y][x]
            if like not in products:
                products[like] = self._products(state.rows, index, y, like)
            free[x] ^= free[x] & (products[like] | self._beside(index, y, x))
        return State(tuple(free), self._extended(state.rows, index, y))

    def after(self, state: State, index: int, y: int = 0, x: int = 0) -> int:
        """Return where a carrier of class x would be clear with one of class y placed at a position besides."""
        free = state.free[x]
        return free ^ (free & (self._products(state.rows, index, y, x) | self._beside(index, y, x)))

    def _products(self, rows: Sequence[int], index: int, y: int, x: int) -> int:
        found = 0
        for own, placed, which, low in self.layout.reads[y][x]:
            if own == 1:
                row, shift = rows[which[0]], placed * index + low
            else:
                move, remainder = divmod(placed * index, own)
                row, shift = rows[which[remainder]], move + low
            found |= row << shift if shift >= 0 else row >> -shift
        return found

    def _beside(self, index: int, y: int, x: int) -> int:
        cells, window = self._near[y][x]
        shift = index - cells
        return window << shift if shift >= 0 else window >> -shift

    def _extended(self, rows: Sequence[int], index: int, y: int) -> tuple[int, ...]:
        new = list(rows)
        for row, shift, own, factor, singles, gap in self.layout.pairings[y]:
            if own == 1:
                source, move = rows[singles[0]], factor * index + gap
            else:
                move, remainder = divmod(shift + factor * index, own)
                source, move = rows[singles[remainder]], move + gap
            new[row] |= source << move if move >= 0 else source >> -move
        for (row, shift, own, factor, _, _), windows in self._marks[y]:
            move, remainder = divmod(factor * index + shift, own) if own > 1 else (factor * index, 0)
            back, window = windows[remainder]
            new[row] |= window << (move - back)
        return tuple(new)

    def around(self, fixed: Sequence[tuple[int, int]]) -> State:
        """Return the state in which only some fixed carriers are on, wherever they stand: (carrier, class) each."""
        return State(tuple(self._around_for(fixed, x) for x in self._count), self.images(fixed))

    def images(self, fixed: Sequence[tuple[int, int]]) -> tuple[int, ...]:
        """Return the images of some fixed carriers: (carrier, class) each."""
        return tuple(self._image_of(fixed, row) for row in range(len(self.layout.images)))

    def _around_for(self, fixed: Sequence[tuple[int, int]], x: int) -> int:
        origin, step, size = self.raster
        near_by = [(np.array([carrier - origin]), np.array([self._spacing[x][who]]), 1) for carrier, who in fixed]
        taken = _spans((*near_by, *self._products_of(fixed, x)), step, 0, size)
        return self._whole ^ (self._whole & taken)

    def _products_of(self, fixed: Sequence[tuple[int, int]], x: int) -> Iterator[_Values]:
        """Yield what |own * x - value| < guard forbids to x: its relations with fixed carriers."""
        for kind, factors in equations():
            if kind in self.layout.kinds:
                for lone in set(factors):
                    rest = list(factors)
                    rest.remove(lone)
                    signed = [-factor if lone > 0 else factor for factor in rest]
                    column = [guards[kind] for guards in self.layout.classes]
                    yield from self._sums(fixed, signed, column, column[x], abs(lone))

    def _image_of(self, fixed: Sequence[tuple[int, int]], row: int) -> int:
        image = self.layout.images[row]
        step = self.raster.step
        sums = self._sums(fixed, image.rest, image.column, image.floor, image.own)
        return _spans(((values + image.shift * step, guards, own) for values, guards, own in sums), step, image.low)

    def _sums(
        self, fixed: Sequence[tuple[int, int]], factors: Sequence[int], column: Sequence[int], floor: int, own: int
    ) -> Iterator[_Values]:
        """Yield the sums of every choice of different fixed carriers, by the first of them, with the largest guard."""
        places = np.array([carrier - self.raster.origin for carrier, _ in fixed], dtype=np.int64)
        asked = np.array([max(column[who], floor) for _, who in fixed], dtype=np.int64)
        for first in range(len(fixed)):
            values, guards = factors[0] * places[first : first + 1], asked[first : first + 1]
            used = [np.array([first])]
            for factor in factors[1:]:
                at, who = (part.ravel() for part in np.indices((len(values), len(fixed))))
                free = np.all([one[at] != who for one in used], axis=0)
                at, who = at[free], who[free]
                values = values[at] + factor * places[who]
                guards = np.maximum(guards[at], asked[who])
                used = [*(one[at] for one in used), who]
            yield values, guards, own


def union(states: Sequence[State]) -> State:
    """Return the state in which a new carrier meets every one of some sets, one at a time."""
    free = list(states[0].free)
    for state in states[1:]:
        free = [mine & theirs for mine, theirs in zip(free, state.free, strict=True)]
    return State(tuple(free), union_of([state.rows for state in states]))


def union_of(images: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """Return what is marked in any of several sets of images."""
    rows = list(images[0])
    for other in images[1:]:
        rows = [mine | theirs for mine, theirs in zip(rows, other, strict=True)]
    return tuple(rows)


def _spans(sums: Iterable[_Values], step: int, low: int, size: int | None = None) -> int:
    """Return the mask of the cells j from `low` on with |own * step * j - value| < guard for any value."""
    starts, ends = [np.zeros(1, np.int64)], [np.zeros(1, np.int64)]
    for values, guards, own in sums:
        pitch = own * step
        first = np.maximum((values - guards) // pitch + 1 - low, 0)
        last = -((-values - guards) // pitch) - 1 - low
        if size is not None:
            last = np.minimum(last, size - 1)
        real = last >= first
        starts.append(first[real])
        ends.append(last[real] + 1)
    begun, over = np.concatenate(starts), np.concatenate(ends)
    length = int(over.max()) + 1
    inside = np.cumsum(np.bincount(begun, minlength=length) - np.bincount(over, minlength=length)) > 0
    return int.from_bytes(np.packbits(inside, bitorder="little").tobytes(), "little")


def positions(mask: int) -> list[int]:
    """Return the positions of a mask's bits, rising."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def mask_of(indices: Sequence[int]) -> int:
    """Return the mask with these bits."""
    size = max(indices, default=-1) // 8 + 1
    cells = bytearray(size)
    for index in indices:
        cells[index >> 3] |= 1 << (index & 7)
    return int.from_bytes(cells, "little")
