"""How many carriers can fit at most: arguments that hold for every set, not only for those a search finds.

All differences of a set clear of third order are at least the spacing, and any two of them at least a guard apart
(the spacing, where that is less). Counting them in windows bounds the size. Along the whole span: windows of k
neighbouring carriers (closed form). Where parts of the band are closed: the sum over all pairs of
max(u - difference, 0) is at most what the smallest differences allow, and at least what the least crowded weighting
of the free positions gives; the weighting is found approximately, but any weighting gives a true bound, and the
numbers are rounded so that it stays one.

Sources: windowing, P. Erdos and P. Turan (1941), B. Lindstrom (1969), in K. O'Bryant, arXiv 2308.12406 (read in a
public copy); the form with a guard and the form with weights were derived here and are compared with exhaustive
search in the tests.
"""

from __future__ import annotations

import math
import time
from typing import TYPE_CHECKING

from planlint.assign.raster.problem import Packing, raster_of
from planlint.assign.raster.seeds import spread
from planlint.rf.clear_span import least_span

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Reals = NDArray[np.float64]
    Integers = NDArray[np.int64]

__all__ = ["least_span", "most", "runs"]

_FINE = 20_000
"""Longer bands are looked at in coarser steps."""
_COARSE_ROUNDS = 60
_ROUNDS = 600
_CLOSER = 2
"""Windows that are looked at with all rounds, the best ones."""


def most(problem: Packing, deadline: float = math.inf) -> int:
    """Return a number of placed carriers that cannot be exceeded.

    Args:
        problem: where they may stand and what they must keep.
        deadline: when to do with the bound found so far, by `time.monotonic`.
    """
    if not problem.allowed:
        return 0
    by_spacing = len(spread(problem.allowed, problem.spacing))
    guard = min(problem.guards.two_signal_third, problem.guards.three_signal_third, problem.spacing)
    if not guard:
        return by_spacing
    length = problem.allowed[-1] - problem.allowed[0]
    count = 1
    while count < by_spacing and least_span(count + 1, problem.spacing, guard) <= length:
        count += 1
    if len(runs(problem.allowed, 2 * problem.spacing)) == 1:
        return count  # no gap worth a weighting
    return min(count, _weighted(problem.allowed, problem.spacing, guard, count, deadline))


def runs(allowed: tuple[int, ...], spacing: int) -> list[tuple[int, int]]:
    """Return stretches at least `spacing` apart that hold all the values."""
    found = [[allowed[0], allowed[0]]]
    for value in allowed[1:]:
        if value - found[-1][1] >= spacing:
            found.append([value, value])
        else:
            found[-1][1] = value
    return [(low, high) for low, high in found]


def _weighted(allowed: tuple[int, ...], spacing: int, guard: int, known: int, deadline: float) -> int:
    """Return the best bound over windows of some lengths; `known` where none of them improves on it."""
    import numpy as np

    low, step = raster_of(allowed)
    length = allowed[-1] - low
    coarse = -(-(length // step + 1) // _FINE)
    cell = step * coarse
    places = np.unique((np.array(allowed, dtype=np.int64) - low) // cell)

    def limit(window: int, rounds: int) -> int:
        crowding = _least_crowding(places, window / cell, coarse, rounds, deadline) * cell
        terms = (window - spacing) // guard + 1
        near = terms * (window - spacing) - guard * terms * (terms - 1) // 2
        # count^2 * crowding <= count * window + 2 * near
        return math.floor((window + math.sqrt(window * window + 8 * near * crowding)) / (2 * crowding))

    ladder = {int(spacing * 1.3**power) for power in range(3, 60)}
    windows = [window for window in sorted(ladder) if 2 * spacing < window <= length + 1]
    found = []
    for window in windows:
        if time.monotonic() > deadline:
            break
        found.append((limit(window, _COARSE_ROUNDS), window))
    closer = [limit(window, _ROUNDS) for _, window in sorted(found)[:_CLOSER]]
    return min([known, *(count for count, _ in found), *closer])


def _least_crowding(places: Integers, window: float, coarse: int, rounds: int, deadline: float) -> float:
    """Return a lower bound of the sum of max(window - |a - b|, 0) over pairs drawn with any weights of sum 1.

    Weights are made smaller where the pressure is above the mean, larger where it is below, round by round.

    Args:
        places: where weight may lie, rising; each stands for `coarse` positions, so distances may be longer by less
            than 1: the window is taken shorter by as much.
        window: in units of places.
        coarse: how many positions a place stands for.
        rounds: how often the weights are mended.
        deadline: when to do with the weights so far.
    """
    import numpy as np

    window -= (coarse - 1) / coarse
    weights = np.full(len(places), 1 / len(places))
    low = np.searchsorted(places, places - window, side="right")
    high = np.searchsorted(places, places + window)
    best = 0.0
    for done in range(rounds):
        if done and time.monotonic() > deadline:
            break
        pressure = _pressure(places, weights, window, low, high)
        best = max(best, float(pressure.min() ** 2 / (weights * pressure).sum()))
        weights *= pressure.mean() / pressure
        weights /= weights.sum()
    # for every weighting x: x'Kx >= 2 c x'Kz - c^2 z'Kz, at its largest for c = min(Kz) / z'Kz
    return best * (1 - 1e-9)


def _pressure(places: Integers, weights: Reals, window: float, low: NDArray[np.intp], high: NDArray[np.intp]) -> Reals:
    """Return for each place the sum over all of weight * max(window - distance, 0); `low` to `high` are that near."""
    import numpy as np

    mass = np.concatenate([[0.0], np.cumsum(weights)])
    moment = np.concatenate([[0.0], np.cumsum(weights * places)])
    at = np.arange(len(places))
    below = (window - places) * (mass[at] - mass[low]) + (moment[at] - moment[low])
    above = (window + places) * (mass[high] - mass[at]) - (moment[high] - moment[at])
    found: Reals = below + above
    return found
