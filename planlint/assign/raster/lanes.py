"""Pieces of work of a search, each given by values alone, so that they run here or in another process alike.

What a piece returns depends on its values only, unless its time runs out: how many processes share the work
changes how long a search takes, not what it finds.

Most of the work goes on lattices: positions a guard apart, a piece of the raster with one position in each guard.
There a product closes one position of one guard instead of two guards less one position, so more carriers fit than
a search finds on the whole raster; what is still free between is filled in at the end.
"""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple

import numpy as np

from planlint.assign.raster.anneal import Course, grow, walk
from planlint.assign.raster.board import Board, Members
from planlint.assign.raster.problem import Packing
from planlint.assign.raster.seeds import Scan, orders, sets_of, spread

LANES = 2
"""Pieces in each round of a search."""
ANNEAL = Course(steps=40_000, hot=0.24, cold=0.18)
SIMMER = Course(steps=8_000, hot=0.25, cold=0.2)
_SEEDS = 2_000
"""Placings of constructions that a lane keeps."""
_WORK = 2_000_000_000
"""Cells that a lane counts for them."""
_FILLS = 6
_AGAIN = 5
"""More ways of making a good seed clear, where it is not."""

Tell = Callable[[Members], None]


class Piece(NamedTuple):
    """One piece of work.

    Attributes:
        kind: `fill` greedily; `seed`: lay out algebraic sets; `polish`: fill up seeds; `anneal` from nothing or from
            the first set; `simmer` several sets in turn.
        draw: where its random choices start.
        lane: its place in the round.
        pitch: of the lattice to work on, in positions; 1: the whole raster.
        sets: positions to start from.
        target: how many carriers to reach.
        end: when to give up, by `time.monotonic`, which all processes of a machine share.
    """

    kind: Literal["fill", "seed", "polish", "anneal", "simmer"]
    draw: str
    lane: int
    pitch: int
    sets: tuple[Members, ...]
    target: int
    end: float


class Yield(NamedTuple):
    """What came of it: clear sets, largest first, and seeds to fill up (not clear)."""

    clear: tuple[Members, ...]
    seeds: tuple[Members, ...] = ()


class Bench:
    """A problem made ready for pieces of work.

    Attributes:
        board: the whole raster.
        pitches: of the lattices worth working on, widest first; 1, the whole raster, is the last.
    """

    def __init__(self, problem: Packing) -> None:
        self.board = Board(problem)
        step = self.board.raster.step
        self.pitches = sorted({1, *(-(-guard // step) for guard in problem.guards if guard)}, reverse=True)
        self._boards: dict[tuple[int, int], Board] = {(1, 0): self.board}

    def run(self, piece: Piece, tell: Tell = lambda _: None) -> Yield:
        """Do one piece of work; `tell` hears of sets as they are found."""
        work = {"fill": self._fill, "seed": self._seed, "polish": self._polish}.get(piece.kind, self._walk)
        found: list[Members] = []

        def note(members: Members) -> None:
            found.append(members)
            tell(members)

        seeds = work(piece, random.Random(piece.draw), note)  # noqa: S311  no secret
        largest = max(map(len, found), default=0)
        clear = sorted({members for members in found if len(members) >= largest - 1}, key=lambda one: (-len(one), one))
        return Yield(tuple(clear), tuple(seeds))

    def _fill(self, piece: Piece, rng: random.Random, note: Tell) -> Sequence[Members]:
        note(self.board.filled((), rng, 1))
        if time.monotonic() < piece.end:
            note(self.board.filled(self.board.open.tolist(), rng, 1))
        for _ in range(_FILLS):
            if time.monotonic() > piece.end:
                break
            board, lift, _ = self._lattice(piece.pitch, rng)
            note(self.board.filled(lift(board.filled((), rng, deadline=piece.end)), rng, 1))
        return ()

    def _seed(self, piece: Piece, _rng: random.Random, _note: Tell) -> Sequence[Members]:
        board = self.board
        open_ = np.zeros(board.raster.size, np.int16)
        open_[board.open] = 1
        scan = Scan(open_, piece.pitch, board.apart, _SEEDS, _WORK, piece.end)
        found = scan.run(sets_of(orders(board.raster.size, piece.pitch)[piece.lane :: LANES]))
        return [tuple(spread(seed.members, board.apart)) for seed in found]

    def _polish(self, piece: Piece, rng: random.Random, note: Tell) -> Sequence[Members]:
        for seed in piece.sets:
            if time.monotonic() > piece.end:
                break
            board, lift, members = self._lattice(piece.pitch, rng, seed)
            first = self._up(board, lift, self._settled(board, members, rng), rng)
            note(first)
            if len(first) >= piece.target - 2 and not set(seed) <= set(first):
                for _ in range(_AGAIN):
                    note(self._up(board, lift, self._settled(board, members, rng), rng))
        return ()

    def _walk(self, piece: Piece, rng: random.Random, note: Tell) -> Sequence[Members]:
        target = piece.target
        course = SIMMER if piece.kind == "simmer" else ANNEAL
        sets = list(piece.sets) or [()]
        while sets and time.monotonic() < piece.end:
            board, lift, standing = self._lattice(piece.pitch, rng, sets.pop(0))
            counts = board.counts()
            for member in standing:
                counts.add(member)
            if not grow(counts, target, rng):
                continue
            walk(counts, course, rng, piece.end)
            members = self._up(board, lift, self._settled(board, counts.members, rng), rng)
            note(members)
            if len(members) >= target:
                target = len(members) + 1
                sets.insert(0, members)
        return ()

    def _up(
        self, board: Board, lift: Callable[[Sequence[int]], Members], members: Sequence[int], rng: random.Random
    ) -> Members:
        """Return clear members filled up on their lattice, and then between."""
        return self.board.filled(lift(board.filled(members, rng, 1)), rng, 1)

    def _lattice(
        self, pitch: int, rng: random.Random, members: Members = ()
    ) -> tuple[Board, Callable[[Sequence[int]], Members], Members]:
        """Return a lattice's board, its way back to the raster, and members on it: the one most of them are on."""
        if members:
            offset = Counter(member % pitch for member in members).most_common(1)[0][0]
        else:
            offset = int(rng.random() * min(pitch, self.board.raster.size))
        if (pitch, offset) not in self._boards:
            self._boards[pitch, offset] = self.board.every(pitch, offset)

        def lift(indices: Sequence[int]) -> Members:
            return tuple(offset + pitch * index for index in indices)

        down = tuple((member - offset) // pitch for member in members if member % pitch == offset)
        return self._boards[pitch, offset], lift, down

    @staticmethod
    def _settled(board: Board, members: Sequence[int], rng: random.Random) -> Members:
        """Return members that are clear together: one of those in the most relations goes first."""
        if len(board.place(members)[1]) == len(members):
            return tuple(sorted(members))
        counts = board.counts()
        for member in members:
            counts.add(member)
        while max(conflicts := counts.conflicts(), default=0) > 0:
            worst = [member for member, count in zip(counts.members, conflicts, strict=True) if count == max(conflicts)]
            counts.remove(worst[int(rng.random() * len(worst))])
        return tuple(sorted(counts.members))
