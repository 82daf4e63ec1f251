"""Who does the pieces of a round: this process, or several, started fresh so that it works on every system."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Sequence
from typing import TYPE_CHECKING, Self

from planlint.assign.raster.lanes import Bench, Piece, Yield
from planlint.assign.raster.problem import Packing

if TYPE_CHECKING:
    from multiprocessing.pool import Pool
    from types import TracebackType

_mine: list[Bench] = []


class Crew:
    """Runs the pieces of a round; a context manager that leaves no process behind."""

    def __init__(self, problem: Packing, bench: Bench, workers: int) -> None:
        """Keep what to work on; with more than one worker, start the processes."""
        self._bench = bench
        self._pool: Pool | None = None
        if workers > 1:
            context = multiprocessing.get_context("spawn")
            self._pool = context.Pool(workers, _begin, (problem,))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._pool is not None:
            self._pool.terminate()
            self._pool.join()

    def run(self, pieces: Sequence[Piece]) -> list[Yield]:
        """Do every piece and return what came of each, in order."""
        if self._pool is None:
            return [self._bench.run(piece) for piece in pieces]
        return self._pool.map(_do, pieces, chunksize=1)


def _begin(problem: Packing) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who asked is told, and ends the others
    _mine.append(Bench(problem))


def _do(piece: Piece) -> Yield:
    return _mine[0].run(piece)
