"""A walk over sets of a fixed size that takes part in fewer and fewer relations, until there are none.

Each step takes a carrier that is in a relation and lets it choose a position again, a position with d relations
more than the best being less likely by exp(-d / heat). What a carrier could choose is kept until something moves.

Source: simulated annealing, S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, Science 220 (1983) 671-680, with a heat
bath for the choice and conflicts for the focus (from memory, not verified); heats were found by measurement.
"""

from __future__ import annotations

import math
import random
import time
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planlint.assign.raster.counts import CLOSED, NEAR, Counts

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Reals = NDArray[np.float64]

_LEVELS = 4
"""How many relations more than the best a choice may bring."""
_STRIDE = 500


class Course(NamedTuple):
    """How long and how hot: heat falls evenly from `hot` to `cold`, in relations."""

    steps: int
    hot: float
    cold: float


class _Choice(NamedTuple):
    """Positions, the sums of their weights up to each, the sum of all, and the weight of staying."""

    positions: NDArray[np.intp]
    sums: Reals
    total: float
    stay: float


def walk(counts: Counts, course: Course, rng: random.Random, deadline: float = math.inf) -> bool:
    """Move the members of `counts` until none is in a relation; return whether that was reached.

    Args:
        counts: the carriers, at least the spacing apart; changed in place.
        course: how long and how hot.
        rng: where the choices come from.
        deadline: when to give up, by `time.monotonic`.
    """
    kept: dict[int, _Choice] = {}
    conflicts: dict[int, int] = {}
    busy: list[int] = []
    for step in range(course.steps):
        if step % _STRIDE == 0:
            heat = course.hot + (course.cold - course.hot) * step / course.steps
            likely = np.exp(-np.arange(_LEVELS) / heat)
            kept.clear()
            if time.monotonic() > deadline:
                return False
        if not busy:
            conflicts = dict(zip(counts.members, counts.conflicts(), strict=True))
            busy = [member for member, count in conflicts.items() if count > 0]
            if not busy:
                return True
        member = busy[int(rng.random() * len(busy))]
        choice = kept.get(member)
        if choice is None:
            choice = kept[member] = _choice(counts, member, conflicts[member], likely)
        draw = rng.random() * (choice.total + choice.stay)
        if draw >= choice.total:
            continue
        position = int(choice.positions[choice.sums.searchsorted(draw, "right")])
        counts.remove(member)
        counts.add(position)
        kept.clear()
        busy = []
    return not any(counts.conflicts())


def _choice(counts: Counts, member: int, now: int, likely: Reals) -> _Choice:
    there = counts.without(member)
    there[member] = NEAR  # staying is weighed apart
    best = min(int(there[there.argmin()]), now)
    positions = (there < best + _LEVELS).nonzero()[0]
    sums = likely[there[positions] - best].cumsum()
    stay = float(likely[now - best]) if now - best < _LEVELS else 0.0
    return _Choice(positions, sums, float(sums[-1]) if len(sums) else 0.0, stay)


def grow(counts: Counts, size: int, rng: random.Random) -> bool:
    """Add carriers where they bring the fewest relations; return whether there was room for that many."""
    while len(counts.members) < size:
        least = int(counts.counts.min())
        if least >= min(NEAR, CLOSED):
            return False
        where = np.flatnonzero(counts.counts == least)
        counts.add(int(where[int(rng.random() * len(where))]))
    return True
