"""The largest set, proven, where the band is short enough to try everything that the masks leave.

Method: from the top of the band down, how many fit above each position, one position more at a time. What is
known of the shorter stretch prunes the longer one (Russian doll search, a known scheme of combinatorial
optimisation; from memory, not verified).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable

from planlint.assign.raster.board import Board, Members
from planlint.assign.raster.masks import State


class _StopError(Exception):
    pass


class Doll:
    """One proof.

    Attributes:
        best: the largest set found, as positions.
        proven: whether no larger one exists; False while `run` has not finished.
    """

    def __init__(self, board: Board, nodes: int, out: Callable[[], bool] = lambda: False) -> None:
        """Keep what to search: a board, how many carriers to try in all, and when the time is over."""
        self._board = board
        self._left = nodes
        self._out = out
        self._open = [int(index) for index in board.open]
        self._above = [0] * (len(self._open) + 1)
        self.best: Members = ()
        self.proven = False

    def run(self) -> None:
        """Search until done or out of nodes or time."""
        try:
            for at in range(len(self._open) - 1, -1, -1):
                self._above[at] = self._above[at + 1]
                self._first(at)
        except _StopError:
            return
        self.proven = True

    def _first(self, at: int) -> None:
        """Look for a set of one more than known that begins with the position of this rank."""
        state = self._board.masks.add(self._board.start, self._open[at])
        found = self._go(state, at + 1, self._above[at + 1], (self._open[at],))
        if found is not None:
            self.best = found
            self._above[at] = len(found)

    def _go(self, state: State, rank: int, need: int, chosen: Members) -> Members | None:
        if need == 0:
            return chosen
        free = state.free[0] >> self._open[rank] if rank < len(self._open) else 0
        if free.bit_count() < need:
            return None
        base = self._open[rank]
        while free:
            index = base + (free & -free).bit_length() - 1
            free &= free - 1
            rank = bisect_left(self._open, index, rank)
            if self._above[rank] < need:
                return None
            self._left -= 1
            if self._left < 0 or (self._left % 256 == 0 and self._out()):
                raise _StopError
            found = self._go(self._board.masks.add(state, index), rank + 1, need - 1, (*chosen, index))
            if found is not None:
                return found
        return None
