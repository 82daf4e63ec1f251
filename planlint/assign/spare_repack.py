"""Ruin and recreate: a part of the spares is taken away at random and the band filled again, over and over.

Beside many fixed carriers, where a fill has few choices, this finds sets that walks through broken ones miss
(measured on the example shows). Source: G. Schrimpf et al., "Record breaking optimization results using the ruin and
recreate principle", Journal of Computational Physics 159 (2000), from memory, not verified.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planlint.assign.raster.problem import Packing

_KEPT = 0.65
_WORSE = 0.02
_LOOKS = (1, 3, 8)
_RESTART = 1500


def repacked(problem: Packing, enough: int, steps: int, seed: int, out: Callable[[], bool]) -> tuple[int, ...]:
    """Return the largest set of carriers found, rising, in the problem's unit.

    Args:
        problem: with at least one allowed carrier.
        enough: stop at so many.
        steps: how many times to ruin and recreate; the same steps and seed give the same set.
        seed: of the random choices.
        out: says that the time is over.
    """
    from planlint.assign.raster.board import Board

    board, rng = Board(problem), random.Random(f"repack/{seed}")  # noqa: S311  no secret
    best: tuple[int, ...] = ()
    now: tuple[int, ...] = ()
    for step in range(steps):
        start = () if step % _RESTART == 0 else now
        kept = [member for member in start if rng.random() < _KEPT]
        rng.shuffle(kept)
        state, members = board.place(kept)
        while free := state.free[0]:
            tried = sorted({board.any_of(free, rng) for _ in range(rng.choice(_LOOKS))})
            member = max(tried, key=lambda one: board.masks.after(state, one).bit_count()) if tried[1:] else tried[0]
            state = board.masks.add(state, member)
            members.append(member)
        if len(members) >= len(start) - (rng.random() < _WORSE):
            now = tuple(members)
        if len(now) > len(best):
            best = now
        if len(best) >= enough or out():
            break
    return board.carriers(best)[:enough]
