"""As many carriers as fit, or a given number of them: seeds, walks and proofs, round by round.

Order of work: a greedy fill; an attempt to try everything, which settles small bands; algebraic seeds; then rounds
of annealing, from where the last round stands and from the best sets so far. The best set so far is kept at every
moment: time over or a keyboard interrupt ends the search, not the answer.
"""

from __future__ import annotations

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

_NODES = 60_000
"""Carriers tried before the attempt at a proof gives up."""
_PROOF_UP_TO = 12
"""Largest set for which trying everything is attempted."""
_POOL = 60
_SIMMERED = 6
"""Sets that one piece of simmering starts from."""


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
        self.bound = 0 if not problem.allowed else len(problem.allowed)
        self.best: Members = ()
        self.pool: list[Members] = []
        self.standing: list[Members] = [()] * LANES
        self.history: list[tuple[float, int]] = []
        self.rounds = 0
        self.proven = not problem.allowed
        self.interrupted = False
        self.bench: Bench | None = None

    def run(self, workers: int) -> None:
        try:
            self.bench = bench = Bench(self.problem)
            self.bound = min(self.bound, bound.most(self.problem))
            self.take(bench.run(self.piece("fill", 0)).clear)
            if self.best and len(self.best) <= _PROOF_UP_TO and not self.done():
                self.try_everything(bench)
            if self.done():
                return
            with Crew(self.problem, bench, workers) as crew:
                self.round(crew, [self.piece("seed", lane) for lane in range(LANES)])
                while not self.done():
                    self.round(crew, [self.choose(lane) for lane in range(LANES)])
        except KeyboardInterrupt:
            self.interrupted = True

    def try_everything(self, bench: Bench) -> None:
        doll = Doll(bench.board, _NODES, lambda: self.left() <= 0)
        doll.run()
        self.take([doll.best])
        if doll.proven:
            self.bound = min(self.bound, len(self.best))

    def round(self, crew: Crew, pieces: list[Piece]) -> None:
        self.rounds += 1
        for lane, found in enumerate(crew.run(pieces)):
            self.take(found.clear)
            if found.standing:
                self.standing[lane] = found.standing

    def choose(self, lane: int) -> Piece:
        """Return the next piece of a lane: the first keeps annealing, the second works on the best sets too."""
        if lane and self.rounds % 2 and self.pool:
            turn = self.rounds // 2 * _SIMMERED
            sets = tuple(self.pool[(turn + at) % len(self.pool)] for at in range(min(_SIMMERED, len(self.pool))))
            return self.piece("simmer", lane, sets)
        return self.piece("anneal", lane, (self.standing[lane],))

    def piece(self, kind: str, lane: int, sets: tuple[Members, ...] = ()) -> Piece:
        target = max(len(self.best) + 1, 1)
        return Piece(kind, f"{self.seed}/{self.rounds}/{lane}", lane, sets, target, self.left())  # type: ignore[arg-type]

    def take(self, sets: tuple[Members, ...] | list[Members]) -> None:
        for members in sets:
            if len(members) > len(self.best):
                self.best = members
                self.history.append((round(time.monotonic() - self.start, 3), len(members)))
                self.progress(len(members), self.bound)
        pool = set(self.pool) | {members for members in sets if len(members) >= len(self.best) - 1}
        self.pool = sorted(pool, key=lambda members: (-len(members), members))[:_POOL]

    def left(self) -> float:
        if self.budget.seconds is None:
            return 1e9
        return self.start + self.budget.seconds - time.monotonic()

    def done(self) -> bool:
        over = self.budget.rounds is not None and self.rounds >= self.budget.rounds
        return self.reached() or over or self.left() <= 0

    def reached(self) -> bool:
        return len(self.best) >= (self.bound if self.target is None else min(self.bound, self.target))

    def result(self) -> Packed:
        carriers = self.bench.board.carriers(self.best) if self.bench is not None else ()
        limit = self.bound if self.target is None else min(self.bound, self.target)
        if self.target is not None:
            carriers = carriers[: self.target]
        return Packed(carriers, limit, self.reached(), tuple(self.history), self.rounds, self.interrupted)
