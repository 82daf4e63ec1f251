"""Pieces of work of a search, each given by values alone, so that they run here or in another process alike.

What a piece returns depends on its values only, unless its time runs out: how many processes share the work
changes how long a search takes, not what it finds.
"""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np

from planlint.assign.raster.anneal import Course, grow, walk
from planlint.assign.raster.board import Board, Members
from planlint.assign.raster.problem import Packing
from planlint.assign.raster.seeds import orders, seeds, sets_of, spread

LANES = 2
"""Pieces in each round of a search."""
ANNEAL = Course(steps=40_000, hot=0.45, cold=0.2)
SIMMER = Course(steps=8_000, hot=0.25, cold=0.25)
_SLACK = 3
_ELITE = 40
_FILLS = 12


class Piece(NamedTuple):
    """One piece of work.

    Attributes:
        kind: `fill` greedily; `seed` from algebraic sets; `anneal` one set of carriers; `simmer` several in turn.
        draw: where its random choices start.
        lane: its place in the round.
        sets: positions to start from.
        target: how many carriers to reach.
        seconds: when to give up, counted from when the round began.
    """

    kind: Literal["fill", "seed", "anneal", "simmer"]
    draw: str
    lane: int
    sets: tuple[Members, ...]
    target: int
    seconds: float


class Yield(NamedTuple):
    """What came of it: clear sets, largest first, and where a walk stands (not clear)."""

    clear: tuple[Members, ...]
    standing: Members


class Bench:
    """A problem made ready for pieces of work."""

    def __init__(self, problem: Packing) -> None:
        self.board = Board(problem)
        guard = max(problem.guards.two_signal_third, problem.guards.three_signal_third)
        self._pitch = -(-guard // self.board.raster.step) if problem.guards.three_signal_third else 0

    def run(self, piece: Piece) -> Yield:
        """Do one piece of work."""
        rng = random.Random(piece.draw)  # noqa: S311  no secret
        end = time.monotonic() + piece.seconds
        match piece.kind:
            case "fill":
                return self._fill(rng, end)
            case "seed":
                return self._seed(piece.lane, rng, end)
            case _:
                return self._walk(piece, rng, end)

    def _fill(self, rng: random.Random, end: float) -> Yield:
        found = [self.board.filled(self.board.open.tolist(), rng)]
        for _ in range(_FILLS):
            if time.monotonic() > end:
                break
            found.append(self.board.filled((), rng))
        return Yield((max(found, key=len),), ())

    def _seed(self, lane: int, rng: random.Random, end: float) -> Yield:
        board = self.board
        if not self._pitch:
            return Yield((), ())
        open_ = np.zeros(board.raster.size, np.int16)
        open_[board.open] = 1
        chosen = list(sets_of(orders(board.raster.size, self._pitch)))[lane::LANES]
        found: set[Members] = set()
        for seed in seeds(open_, self._pitch, board.apart, chosen, _SLACK, end):
            if time.monotonic() > end:
                break
            found.add(board.filled(self._settled(spread(seed.members, board.apart)), rng, 1))
        return Yield(tuple(sorted(found, key=lambda members: (-len(members), members))[:_ELITE]), ())

    def _settled(self, members: Sequence[int]) -> Sequence[int]:
        """Return members that are clear together: those in the most relations go first."""
        if len(self.board.place(members)[1]) == len(members):
            return members
        counts = self.board.counts()
        for member in members:
            counts.add(member)
        while max(conflicts := counts.conflicts(), default=0) > 0:
            counts.remove(counts.members[conflicts.index(max(conflicts))])
        return sorted(counts.members)

    def _walk(self, piece: Piece, rng: random.Random, end: float) -> Yield:
        target, clear, standing = piece.target, [], piece.sets[0]
        course = ANNEAL if piece.kind == "anneal" else SIMMER
        sets = list(piece.sets)
        while sets and time.monotonic() < end:
            standing = sets.pop(0)
            counts = self.board.counts()
            for member in standing:
                counts.add(member)
            if not grow(counts, target, rng):
                continue
            reached = walk(counts, self.board.open, course, rng, end)
            standing = tuple(sorted(counts.members))
            if reached:
                members = self.board.filled(standing, rng)
                if len(members) >= target:
                    clear.append(members)
                    target = len(members) + 1
                    sets.insert(0, members)
        return Yield(tuple(sorted(clear, key=lambda members: (-len(members), members))), standing)
