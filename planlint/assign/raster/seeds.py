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
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planlint.assign.raster.constructions import Residues, multiples, of_order

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Cells = NDArray[np.int16]

_ORDERS = (0.5, 1.45)
"""Orders looked at, as parts of the square root of how many guards fit on the raster."""
_SAMPLE = 12
"""Multiples of each construction that are laid out before the likeliest constructions are gone through."""
_SLACK = 4
"""How much worse than the best a score may be."""


class Seed(NamedTuple):
    """Positions a guard apart in all pair sums; `score` of them, at least, keep the spacing."""

    score: int
    members: tuple[int, ...]


class _Placing(NamedTuple):
    score: int
    period: int
    members: tuple[int, ...]
    shift: int


def orders(size: int, pitch: int) -> list[int]:
    """Return the orders of sets worth trying on a raster of this size, the likeliest first."""
    root = (size / pitch) ** 0.5
    low, high = (int(root * part) for part in _ORDERS)
    return sorted(range(max(low, 2), max(high, 3) + 1), key=lambda q: (abs(q - 0.97 * root), q))


def sets_of(order: Iterable[int]) -> Iterator[Residues]:
    """Yield every construction of some orders."""
    for q in order:
        yield from of_order(q)


class Scan:
    """Lays constructions over a raster and keeps the best placings.

    Attributes:
        work: cells that may still be counted.
    """

    def __init__(
        self, open_: Cells, pitch: int, apart: int, keep: int, work: float = math.inf, deadline: float = math.inf
    ) -> None:
        """Keep what to look at.

        Args:
            open_: 1 where a position is free, else 0; shape (size,).
            pitch: the guard in positions.
            apart: the least distance of two carriers in positions.
            keep: how many placings.
            work: how many cells may be counted.
            deadline: when to stop looking, by `time.monotonic`.
        """
        self._open, self._pitch, self._apart, self._keep = open_, pitch, apart, keep
        self.work, self._deadline = work, deadline
        self._best = self._least = 0
        self._found: list[_Placing] = []

    def run(self, sets: Iterable[Residues]) -> list[Seed]:
        """Lay out a few multiples of every set, then all, the likeliest sets first; return the best, best first."""
        begun = []
        for residues in sets:
            if self._over():
                break
            rest = multiples(residues)
            folded = _folded(self._open, self._pitch * residues.modulus)
            scores = [self._look(folded, residues, members) for members in islice(rest, _SAMPLE)]
            begun.append((max(scores, default=0), residues, folded, rest))
        for _, residues, folded, rest in sorted(begun, key=lambda one: -one[0]):
            for members in rest:
                if self._over():
                    break
                self._look(folded, residues, members)
        self._cut()
        return sorted({Seed(one.score, _placed(self._open, one, self._pitch)) for one in self._found}, reverse=True)

    def _over(self) -> bool:
        return self.work <= 0 or time.monotonic() > self._deadline

    def _look(self, folded: Cells, residues: Residues, members: tuple[int, ...]) -> int:
        """Keep the good placings of one multiple; return the best score, 0 if it was not worth counting."""
        modulus, pitch = residues.modulus, self._pitch
        self.work -= len(members) * pitch * modulus
        scores = _scores(folded, members, pitch, self._apart, modulus, self._least)
        if scores is None:
            return 0
        top = int(scores.max())
        self._best = max(self._best, top)
        self._least = max(self._least, self._best - _SLACK)
        shifts = np.flatnonzero(scores >= self._least)
        for shift in _different(folded, members, pitch, shifts):
            self._found.append(_Placing(int(scores[shift]), pitch * modulus, members, shift))
        if len(self._found) > 2 * self._keep:
            self._cut()
        return top

    def _cut(self) -> None:
        worth = self._best - _SLACK
        found = sorted((one for one in self._found if one.score >= worth), key=lambda one: -one.score)
        self._found = found[: self._keep]
        if len(found) >= self._keep:
            self._least = max(self._least, self._found[-1].score + 1)


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


def _placed(open_: Cells, placing: _Placing, pitch: int) -> tuple[int, ...]:
    """Return the lowest free position of every member that has one."""
    _, period, members, shift = placing
    base = (pitch * np.array(members) + shift) % period
    found = base[base < len(open_)]
    found = found[open_[found] > 0]
    for turn in range(period, len(open_), period):
        base = base[~np.isin(base + turn - period, found)]
        again = (base + turn)[base + turn < len(open_)]
        found = np.concatenate([found, again[open_[again] > 0]])
    return tuple(sorted(found.tolist()))
