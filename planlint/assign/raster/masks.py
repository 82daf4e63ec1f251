"""Free-slot masks: where one more carrier is clear of everything placed so far, exactly, as bits.

A state is a value: placing a carrier gives a new one, in a few moves of whole bitmaps (Python integers of one bit
for each position), whatever the number of carriers. Going back is keeping the old state.

Source: the condition for adding a carrier to a clean set, equation by equation, follows from the definition in
`planlint.rf.intermodulation`; the tests compare it with plain enumeration.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations
from typing import NamedTuple

from planlint.assign.raster.forms import equations
from planlint.assign.raster.layout import Layout, Raster, near
from planlint.rf.intermodulation import Limits


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
        origin, step, _ = self.raster
        taken = 0
        for carrier, who in fixed:
            taken |= _window(*near(carrier - origin, self._spacing[x][who], step))
        for value, guard, own in self._products_of(fixed, x):
            taken |= _window(*near(value, guard, own * step))
        return self._whole ^ (self._whole & taken)

    def _products_of(self, fixed: Sequence[tuple[int, int]], x: int) -> set[tuple[int, int, int]]:
        """Return (value, guard, own): |own * x - value| < guard is a relation of x with fixed carriers."""
        classes, origin = self.layout.classes, self.raster.origin
        found = set()
        for kind, factors in equations():
            if kind not in self.layout.kinds:
                continue
            for lone in set(factors):
                sign = -1 if lone > 0 else 1
                rest = list(factors)
                rest.remove(lone)
                for members in permutations(fixed, len(rest)):
                    guard = max(classes[x][kind], *(classes[who][kind] for _, who in members))
                    value = sum(sign * f * (carrier - origin) for f, (carrier, _) in zip(rest, members, strict=True))
                    found.add((value, guard, abs(lone)))
        return found

    def _image_of(self, fixed: Sequence[tuple[int, int]], row: int) -> int:
        image = self.layout.images[row]
        origin, step, _ = self.raster
        found = 0
        for members in permutations(fixed, len(image.rest)):
            value = sum(f * (carrier - origin) for f, (carrier, _) in zip(image.rest, members, strict=True))
            guard = max(image.floor, *(image.column[who] for _, who in members))
            first, last = near(value + image.shift * step, guard, image.own * step)
            found |= _window(first - image.low, last - image.low)
        return found


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


def _window(first: int, last: int) -> int:
    first = max(first, 0)
    return ((1 << (last - first + 1)) - 1) << first if last >= first else 0


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
