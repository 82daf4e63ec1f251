"""Who does the pieces of a round: this process, and others beside it, started fresh so that it works on every system."""

from __future__ import annotations

import math
import multiprocessing
import signal
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Self

from planlint.assign.raster.lanes import LANES, Bench, Piece, Tell, Yield
from planlint.assign.raster.problem import Packing

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess
    from types import TracebackType

_GRACE_S = 0.2
"""How long after the end another process is waited for."""


class Crew:
    """Runs the pieces of a round; a context manager that leaves no process behind."""

    def __init__(self, problem: Packing, bench: Bench, workers: int, end: float = math.inf) -> None:
        """Start the others: one less than the workers, and no more than there are lanes for.

        Args:
            problem: what is asked.
            bench: made ready for it, for the pieces done here.
            workers: how many processes share the work, this one among them.
            end: when nobody waits for the others any more, by `time.monotonic`.
        """
        self._bench, self._end = bench, end
        self._others: list[tuple[SpawnProcess, Connection]] = []
        context = multiprocessing.get_context("spawn")
        with _no_interrupts():
            for _ in range(min(workers, LANES) - 1):
                mine, theirs = context.Pipe()
                process = context.Process(target=_serve, args=(theirs, problem), daemon=True)
                process.start()
                theirs.close()
                self._others.append((process, mine))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for process, pipe in self._others:
            pipe.close()
            process.terminate()
        for process, _ in self._others:
            process.join()

    def run(self, pieces: Sequence[Piece], tell: Tell) -> list[Yield]:
        """Do every piece and return what came of each, in order; `tell` hears of sets found here as they are found."""
        hands = len(self._others) + 1
        found = [Yield(())] * len(pieces)
        given: list[tuple[Connection, list[int]]] = []
        here = list(range(0, len(pieces), hands))
        for at, (_, pipe) in enumerate(self._others, 1):
            which = list(range(at, len(pieces), hands))
            if _sent(pipe, [pieces[index] for index in which]):
                given.append((pipe, which))
            else:
                here += which
        for index in here:
            found[index] = self._bench.run(pieces[index], tell)
        for pipe, which in given:
            results = _received(pipe, self._end)
            for index, result in zip(which, results, strict=True) if results else ():
                found[index] = result
            if results is None:  # it died: the answer must not depend on that
                for index in which:
                    found[index] = self._bench.run(pieces[index], tell)
        return found


def _sent(pipe: Connection, pieces: list[Piece]) -> bool:
    try:
        pipe.send(pieces)
    except OSError:
        return False
    return True


def _received(pipe: Connection, end: float) -> list[Yield] | None:
    """Return what another process found; nothing if it is too late, None if it is no more."""
    try:
        if end < math.inf and not pipe.poll(max(end + _GRACE_S - time.monotonic(), 0)):
            return []
        results: list[Yield] = pipe.recv()
    except (EOFError, OSError):
        return None
    return results


@contextmanager
def _no_interrupts() -> Iterator[None]:
    """Start processes that a keyboard interrupt does not reach: the one who asked is told, and ends the others."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _serve(pipe: Connection, problem: Packing) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    bench = Bench(problem)
    while True:
        try:
            pieces = pipe.recv()
        except EOFError:
            return
        pipe.send([bench.run(piece) for piece in pieces])
