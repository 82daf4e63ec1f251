"""As many carriers as fit, or a given number of them: seeds, walks and proofs, round by round.

Order of work: a greedy fill; a bound; an attempt to try everything, which settles small bands; algebraic seeds; then
rounds of annealing, from nothing and from the best sets so far, while the seeds are filled up in between. The best set
so far is kept at every moment: time over or a keyboard interrupt ends the search, not the answer.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from planlint.assign.raster import bound
from planlint.assign.raster.board import Members
from planlint.assign.raster.crew import Crew
from planlint.assign.raster.exact import Doll
from planlint.assign.raster.lanes import LANES, Bench, Piece
from planlint.assign.raster.problem import Packing

_NODES, _MORE_NODES = 60_000, 1_000_000
"""Carriers tried before the attempt at a proof gives up: at first, and once more after some rounds."""
_AGAIN = 4
"""After how many rounds trying everything is attempted again."""
_PROOF_UP_TO = 12
"""Largest set for which trying everything is attempted."""
_POOL = 200
"""Sets that are kept: of the largest size found, and of one less."""
_SIMMERED = 6
"""Sets that one piece of simmering starts from."""
_POLISHED = 200
"""Seeds that one piece fills up."""
_REACH = 2
"""Annealing from nothing takes turns while it stays so near to the best."""
_SEEDING = 0.3
"""Of the time that is left, what laying out seeds may take."""
_PATIENCE = 6
"""Rounds between its turns when it does not."""


@dataclass(frozen=True, slots=True)
class Budget:
    """How long a search may go on.

    With rounds alone it gives the same answer on every machine; with seconds it gives the best so far.

    Attributes:
        seconds: of the clock; None: no limit.
        rounds: of about a second of work on each lane; None: no limit.
    """

    seconds: float | None = 10.0
    rounds: int | None = None

    def __post_init__(self) -> None:
        if self.seconds is None and self.rounds is None:
            raise ValueError("a search needs an end: seconds or rounds")


class Packed(NamedTuple):
    """What was found.

    Attributes:
        carriers: the placed carriers, rising; clear with the fixed ones and with each other.
        bound: a number that cannot be exceeded; of a search for a given number, at most that.
        proven: more than were found are impossible, or the number asked for is reached.
        history: (seconds since the start, how many) each time there were more.
        rounds: rounds begun.
        interrupted: a keyboard interrupt ended it.
    """

    carriers: tuple[int, ...]
    bound: int
    proven: bool
    history: tuple[tuple[float, int], ...]
    rounds: int
    interrupted: bool


Progress = Callable[[int, int], None]
"""Told how many carriers there are and the bound, each time there are more."""


def pack(
    problem: Packing, *, target: int | None = None, budget: Budget = Budget(), seed: int = 0, workers: int = 1,
    progress: Progress = lambda _count, _bound: None,
) -> Packed:  # fmt: skip
    """Place as many carriers as can be found.

    Args:
        problem: where they may stand and what they must keep.
        target: stop as soon as there are that many. None: as many as fit.
        budget: how long.
        seed: of the random choices.
        workers: processes that share the work; they change the time, not the answer.
        progress: told of every improvement.
    """
    search = _Search(problem, target, budget, seed, progress)
    if problem.allowed:
        search.run(workers)
    return search.result()


class _Search:
    def __init__(self, problem: Packing, target: int | None, budget: Budget, seed: int, progress: Progress) -> None:
        self.problem = problem
        self.target = target
        self.budget = budget
        self.seed = seed
        self.progress = progress
        self.start = time.monotonic()
        self.end = math.inf if budget.seconds is None else self.start + budget.seconds
        self.bound = len(problem.allowed)
        self.best: Members = ()
        self.pool: dict[Members, None] = {}
        self.seeds: list[tuple[int, Members]] = []
        self.from_nothing: dict[int, int] = {}
        self.history: list[tuple[float, int]] = []
        self.rounds = 0
        self.interrupted = False
        self.bench: Bench | None = None

    def run(self, workers: int) -> None:
        try:
            self.bench = bench = Bench(self.problem)
            self.fill(bench)
            self.bound = min(len(bench.board.open), bound.most(self.problem, self.end))
            self.try_everything(bench, _NODES)
            if self.done():
                return
            with Crew(self.problem, bench, workers, self.end) as crew:
                for pitch in bench.pitches[:-1]:
                    self.round(crew, [self.piece("seed", lane, pitch) for lane in range(LANES)])
                while not self.done():
                    self.round(crew, [self.choose(lane) for lane in range(LANES)])
                    if self.rounds == _AGAIN:
                        self.try_everything(bench, _MORE_NODES)
        except KeyboardInterrupt:
            self.interrupted = True

    def fill(self, bench: Bench) -> None:
        """Fill greedily on each lattice, which also says where annealing from nothing may begin."""
        for pitch in bench.pitches:
            found = bench.run(self.piece("fill", 0, pitch), self.take)
            self.from_nothing[pitch] = len(found.clear[0])

    def try_everything(self, bench: Bench, nodes: int) -> None:
        if not self.best or len(self.best) > _PROOF_UP_TO or self.done():
            return
        doll = Doll(bench.board, nodes, lambda: time.monotonic() > self.end)
        doll.run()
        self.take(doll.best)
        if doll.proven:
            self.bound = min(self.bound, len(self.best))

    def round(self, crew: Crew, pieces: list[Piece]) -> None:
        if self.done():
            return
        self.rounds += 1
        for piece, found in zip(pieces, crew.run(pieces, self.take), strict=True):
            for members in found.clear:
                self.take(members)
            self.seeds += [(piece.pitch, seed) for seed in found.seeds]
            size = len(found.clear[0]) if found.clear else 0
            if piece.kind == "anneal":
                self.from_nothing[piece.pitch] = max(self.from_nothing[piece.pitch], size)
            if piece.kind == "polish" and size < len(self.best) - 1:
                self.seeds.clear()  # the best of them came first
        if pieces[0].kind == "seed":
            self.seeds.sort(key=lambda one: len(one[1]))

    def choose(self, lane: int) -> Piece:
        """Return the next piece of a lane: seeds every other round while there are any, then sets from the pool."""
        rng = random.Random(f"{self.seed}/{self.rounds}/{lane}/choice")  # noqa: S311  no secret
        if self.rounds % 2 and self.seeds:
            next_ones = [self.seeds.pop() for _ in range(min(_POLISHED, len(self.seeds)))]
            pitch = next_ones[0][0]
            self.seeds += [one for one in next_ones if one[0] != pitch]
            return self.piece("polish", lane, pitch, tuple(seed for of, seed in next_ones if of == pitch))
        pitch = max(self.from_nothing, key=lambda one: (self.from_nothing[one], one))
        near = self.from_nothing[pitch] >= len(self.best) - _REACH
        if (self.rounds // 2 + lane) % (2 if near else _PATIENCE) == 0:
            return self.piece("anneal", lane, pitch)
        sets = tuple(self.pool)
        drawn = tuple(sets[int(rng.random() * len(sets))] for _ in range(_SIMMERED))
        return self.piece("simmer", lane, pitch, drawn)

    def piece(self, kind: str, lane: int, pitch: int, sets: tuple[Members, ...] = ()) -> Piece:
        target, end = len(self.best) + 1, self.end
        if kind == "anneal":
            target = min(target, self.from_nothing[pitch] + 1)
        if kind == "seed" and end < math.inf:
            now = time.monotonic()
            end = now + (end - now) * _SEEDING
        return Piece(kind, f"{self.seed}/{self.rounds}/{lane}", lane, pitch, sets, target, end)  # type: ignore[arg-type]

    def take(self, members: Members) -> None:
        if len(members) > len(self.best):
            self.best = members
            self.history.append((round(time.monotonic() - self.start, 3), len(members)))
            self.progress(len(members), self.bound)
            self.pool = {one: None for one in self.pool if len(one) >= len(members) - 1}
        if len(members) >= len(self.best) - 1:
            self.pool.pop(members, None)
            self.pool[members] = None
            if len(self.pool) > _POOL:
                del self.pool[min(self.pool, key=len)]

    def done(self) -> bool:
        over = self.budget.rounds is not None and self.rounds >= self.budget.rounds
        return self.reached() or over or time.monotonic() > self.end

    def reached(self) -> bool:
        return len(self.best) >= (self.bound if self.target is None else min(self.bound, self.target))

    def result(self) -> Packed:
        carriers = self.bench.board.carriers(self.best) if self.bench is not None else ()
        limit = self.bound if self.target is None else min(self.bound, self.target)
        if self.target is not None:
            carriers = carriers[: self.target]
        return Packed(carriers, limit, self.reached(), tuple(self.history), self.rounds, self.interrupted)
