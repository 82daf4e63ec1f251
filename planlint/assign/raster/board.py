"""A packing problem laid out on its raster: the working surface of every search.

Positions are indices on the raster of the allowed carriers. Whatever leaves here has passed the exact masks.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from planlint.assign.raster.counts import Counts
from planlint.assign.raster.layout import Raster
from planlint.assign.raster.masks import Masks, State, mask_of, union, union_of
from planlint.assign.raster.problem import Packing, raster_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

Members = tuple[int, ...]
_LOOKS = 24
"""How many free positions a careful fill compares before it places a carrier."""


class Board:
    """The raster, masks and free positions of a problem with at least one allowed carrier.

    Attributes:
        problem: what is asked.
        raster: the narrowest raster that holds every allowed carrier.
        start: the state with only the fixed carriers on.
        apart: the least distance of two placed carriers, in positions.
        open: positions free of fixed carriers, rising, shape (count,).
    """

    def __init__(self, problem: Packing) -> None:
        self.problem = problem
        origin, step = raster_of(problem.allowed)
        self.raster = Raster(origin, step, (problem.allowed[-1] - origin) // step + 1)
        self._lay()
        allowed = mask_of([(carrier - origin) // step for carrier in problem.allowed])
        around = union([self.masks.around(on) for on in self._on])
        self.start = State((around.free[0] & allowed,), around.rows)
        self.open = _bits(self.start.free[0], self.raster.size).nonzero()[0]

    def every(self, pitch: int, offset: int) -> Board:
        """Return the board of every `pitch`-th position from `offset`, below the size, on."""
        board = Board.__new__(Board)
        board.problem = self.problem
        origin, step, size = self.raster
        board.raster = Raster(origin + step * offset, step * pitch, (size - 1 - offset) // pitch + 1)
        board._lay()
        rows = [board.masks.images(on) for on in board._on]
        free = _bits(self.start.free[0], size)[offset::pitch]
        board.open = free.nonzero()[0]
        board.start = State((mask_of(board.open.tolist()),), union_of(rows))
        return board

    def _lay(self) -> None:
        problem, (origin, step, _) = self.problem, self.raster
        self.apart = -(-problem.spacing // step)
        guests = sorted({(one.guards, one.spacing) for one in problem.fixed})
        classes = [problem.guards, *(guards for guards, _ in guests)]
        spacing = [[problem.spacing, *(distance for _, distance in guests)], *([[0]] * len(guests))]
        places = [(one.carrier - origin) // step for one in problem.fixed]
        span = (min(places, default=0) - 1, max(places, default=0) + 1)
        self.masks = Masks(self.raster, classes, spacing, 1, span)
        who = [(one.carrier, 1 + guests.index((one.guards, one.spacing))) for one in problem.fixed]
        self._on = [[who[at] for at in sorted(on)] for on in problem.sets]

    def carriers(self, members: Sequence[int]) -> tuple[int, ...]:
        """Return members as carriers in the problem's unit, rising."""
        return tuple(self.raster.origin + self.raster.step * index for index in sorted(members))

    def place(self, members: Sequence[int], state: State | None = None) -> tuple[State, list[int]]:
        """Place members one after another, passing over those that are no longer free; return who stands."""
        state = self.start if state is None else state
        kept = []
        for index in members:
            if state.free[0] >> index & 1:
                state = self.masks.add(state, index)
                kept.append(index)
        return state, kept

    def filled(
        self, members: Sequence[int], rng: random.Random, looks: int = _LOOKS, deadline: float = math.inf
    ) -> Members:
        """Return members that can stand, and more until nothing is free.

        Each leaves the most of a few tried free; after the deadline, by `time.monotonic`, the first one does.
        """
        state, kept = self.place(members)
        while free := state.free[0]:
            if looks == 1 or time.monotonic() > deadline:
                index = self.any_of(free, rng)
            else:
                tried = {self.any_of(free, rng) for _ in range(looks)}
                index = max(tried, key=lambda one: (self.masks.after(state, one).bit_count(), one))
            state = self.masks.add(state, index)
            kept.append(index)
        return tuple(sorted(kept))

    def any_of(self, free: int, rng: random.Random) -> int:
        """Return a free position, the next one up from a random one."""
        start = int(rng.random() * self.raster.size)
        above = free >> start
        if above:
            return start + (above & -above).bit_length() - 1
        return (free & -free).bit_length() - 1

    def counts(self) -> Counts:
        """Return counters with only the fixed carriers on."""
        layout = self.masks.layout
        rows = [_bits(row, image.size) for row, image in zip(self.start.rows, layout.images, strict=True)]
        return Counts(layout, self.apart, _bits(self.start.free[0], self.raster.size), rows)


def _bits(mask: int, size: int) -> NDArray[np.int16]:
    raw = np.frombuffer(mask.to_bytes(size // 8 + 1, "little"), dtype=np.uint8)
    return np.unpackbits(raw, bitorder="little")[:size].astype(np.int16)
