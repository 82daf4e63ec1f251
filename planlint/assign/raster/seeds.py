"""Algebraic sets laid over the free positions: where to begin.

Multiplied by the guard, a set with different pair sums has all of them a guard apart. Every multiple by a unit and
every shift is such a set again; the best are those with the most members on free positions that keep the spacing.
Members beyond the raster do not count; where the modulus is shorter than the raster, a residue may take any of its
positions.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planlint.assign.raster.constructions import Residues, multiples, of_order

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Cells = NDArray[np.int16]

_ORDERS = (0.5, 1.45)
"""Orders looked at, as parts of the square root of how many guards fit on the raster."""


class Seed(NamedTuple):
    """Positions a guard apart in all pair sums; `score` of them, at least, keep the spacing."""

    score: int
    members: tuple[int, ...]


def orders(size: int, pitch: int) -> list[int]:
    """Return the orders of sets worth trying on a raster of this size, the likeliest first."""
    root = (size / pitch) ** 0.5
    low, high = (int(root * part) for part in _ORDERS)
    return sorted(range(max(low, 2), max(high, 3) + 1), key=lambda q: (abs(q - 0.97 * root), q))


def sets_of(order: Iterable[int]) -> Iterator[Residues]:
    """Yield every construction of some orders."""
    for q in order:
        yield from of_order(q)


def seeds(
    open_: Cells, pitch: int, apart: int, sets: Iterable[Residues], slack: int, deadline: float = math.inf
) -> list[Seed]:
    """Return the placings whose score comes within `slack` of the best, best first.

    Args:
        open_: 1 where a position is free, else 0; shape (size,).
        pitch: the guard in positions.
        apart: the least distance of two carriers in positions.
        sets: the constructions to lay out.
        slack: how much worse than the best a score may be.
        deadline: when to stop looking, by `time.monotonic`.
    """
    found: list[Seed] = []
    best = 0
    for residues in sets:
        period = pitch * residues.modulus
        folded = _folded(open_, period)
        for members in multiples(residues):
            if time.monotonic() > deadline:
                break
            scores = _scores(folded, members, pitch, apart, residues.modulus, best - slack)
            if scores is None:
                continue
            best = max(best, int(scores.max()))
            shifts = np.flatnonzero(scores >= best - slack)
            for shift in _different(folded, members, pitch, shifts):
                placed = _placed(open_, [(pitch * member + shift) % period for member in members], period)
                found.append(Seed(int(scores[shift]), placed))
        found = [seed for seed in found if seed.score >= best - slack]
    return sorted(set(found), key=lambda seed: (-seed.score, seed.members))


def spread(members: Sequence[int], apart: int) -> list[int]:
    """Return as many rising members as keep their distance: from the lowest up, which no other choice beats."""
    kept: list[int] = []
    for member in members:
        if not kept or member - kept[-1] >= apart:
            kept.append(member)
    return kept


def _folded(open_: Cells, period: int) -> Cells:
    """Return what is free modulo the period, twice over so that every shift is a slice."""
    turns = -(-len(open_) // period)
    padded = np.zeros(turns * period, np.int16)
    padded[: len(open_)] = open_
    once = padded.reshape(turns, period).max(axis=0)
    return np.concatenate([once, once])


def _scores(folded: Cells, members: Sequence[int], pitch: int, apart: int, modulus: int, least: int) -> Cells | None:
    """Return for each shift the members on free positions less the pairs that are too close; None if all too few."""
    period = pitch * modulus
    scores = np.zeros(period, np.int16)
    for member in members:
        scores += folded[pitch * member :][:period]
    if int(scores.max()) < least:
        return None
    count = len(members)
    for at, member in enumerate(members):
        for further in range(1, count):
            other = members[(at + further) % count]
            if (other - member) % modulus * pitch >= apart:
                break
            scores -= folded[pitch * member :][:period] & folded[pitch * other :][:period]
    return scores if int(scores.max()) >= least else None


def _different(folded: Cells, members: Sequence[int], pitch: int, shifts: NDArray[np.intp]) -> list[int]:
    """Return the shifts that put different members on free positions, the first of each."""
    present = np.stack([folded[pitch * member + shifts] for member in members])
    weights = np.random.default_rng(0).integers(1, 2**52, size=len(members))
    _, first = np.unique(weights @ present, return_index=True)
    return [int(shifts[at]) for at in sorted(first)]


def _placed(open_: Cells, positions: Sequence[int], period: int) -> tuple[int, ...]:
    found = []
    for position in positions:
        turn = next((at for at in range(position, len(open_), period) if open_[at]), None)
        if turn is not None:
            found.append(turn)
    return tuple(sorted(found))
