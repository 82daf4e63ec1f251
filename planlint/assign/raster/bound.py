"""How many carriers can fit at most: arguments that hold for every set, not only for those a search finds.

All differences of a set clear of third order are at least the spacing, and any two of them at least a guard apart.
Counting them in windows bounds the size. Along the whole span: windows of k neighbouring carriers (closed form).
Where parts of the band are closed: the sum over all pairs of max(u - difference, 0) is at most what the smallest
differences allow, and at least what the least crowded weighting of the free positions gives; the weighting is
found approximately, but any weighting gives a true bound, and the numbers are rounded so that it stays one.

Sources: windowing, P. Erdos and P. Turan (1941), B. Lindstrom (1969), in K. O'Bryant, arXiv 2308.12406 (read in a
public copy); the form with a guard and the form with weights were derived here and are compared with exhaustive
search in the tests.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planlint.assign.raster.problem import Packing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Reals = NDArray[np.float64]
    Integers = NDArray[np.int64]

_FINE = 20_000
"""Longer bands are looked at in coarser steps."""
_CELLS = 300
"""Weights are found for at most so many groups of places, then spread and smoothed."""
_ROUNDS = 10


def least_span(count: int, spacing: int, guard: int) -> int:
    """Return a length that no set of so many carriers can stay below, clear of third order."""
    best = 0
    for k in range(1, count):
        pairs = k * count - k * (k + 1) // 2
        best = max(best, -(-(spacing * pairs + guard * pairs * (pairs - 1) // 2) // (k * (k + 1) // 2)))
    return best


def most(problem: Packing) -> int:
    """Return a number of placed carriers that cannot be exceeded."""
    if not problem.allowed:
        return 0
    stretches = runs(problem.allowed, problem.spacing)
    by_spacing = sum((high - low) // problem.spacing + 1 for low, high in stretches)
    guard = min(problem.guards.two_signal_third, problem.guards.three_signal_third)
    if not guard:
        return by_spacing
    length = problem.allowed[-1] - problem.allowed[0]
    count = 1
    while count < by_spacing and least_span(count + 1, max(problem.spacing, guard), guard) <= length:
        count += 1
    if len(runs(problem.allowed, 2 * problem.spacing)) == 1:
        return count  # no gap worth a weighting
    return min(count, _weighted(problem.allowed, max(problem.spacing, guard), guard, count))


def runs(allowed: tuple[int, ...], spacing: int) -> list[tuple[int, int]]:
    """Return stretches at least `spacing` apart that hold all the values."""
    found = [[allowed[0], allowed[0]]]
    for value in allowed[1:]:
        if value - found[-1][1] >= spacing:
            found.append([value, value])
        else:
            found[-1][1] = value
    return [(low, high) for low, high in found]


def _weighted(allowed: tuple[int, ...], spacing: int, guard: int, known: int) -> int:
    """Return the best bound over windows of some lengths; `known` where none of them improves on it."""
    import numpy as np

    length = allowed[-1] - allowed[0] + 1
    step = -(-length // _FINE)
    places = np.unique((np.array(allowed, dtype=np.int64) - allowed[0]) // step)
    best = known
    ladder = {int(spacing * 1.5**power) for power in range(2, 60)}
    for window in sorted(window for window in ladder if 2 * spacing < window <= length):
        crowding = _least_crowding(places, window / step, step) * step
        terms = (window - spacing) // guard + 1
        near = terms * (window - spacing) - guard * terms * (terms - 1) // 2
        # best^2 * crowding <= best * window + 2 * near
        best = min(best, math.floor((window + math.sqrt(window * window + 8 * near * crowding)) / (2 * crowding)))
    return best


def _least_crowding(places: Integers, window: float, step: int) -> float:
    """Return a lower bound of the sum of max(window - |a - b|, 0) over pairs drawn with any weights of sum 1.

    Args:
        places: where weight may lie, rising; each stands for `step` positions, so distances may be longer by less
            than 1: the window is taken shorter by as much.
        window: in units of places.
        step: how many positions a place stands for.
    """
    import numpy as np

    window -= (step - 1) / step
    cell = max(1, -(-len(places) // _CELLS))
    groups = places // cell
    cells, which, sizes = np.unique(groups, return_inverse=True, return_counts=True)
    weights = _equal_pressure(cells.astype(np.float64) * cell, window)[which] / sizes[which]
    best = 0.0
    for _ in range(_ROUNDS):
        pressure = _pressure(places, weights, window)
        best = max(best, float(pressure.min() ** 2 / (weights @ pressure)))
        weights *= pressure.mean() / pressure
        weights /= weights.sum()
    # for every weighting x: x'Kx >= 2 c x'Kz - c^2 z'Kz, at its largest for c = min(Kz) / z'Kz
    return best * (1 - 1e-9)


def _equal_pressure(cells: Reals, window: float) -> Reals:
    """Return weights of sum 1, none negative, under which every weighted cell feels about the same."""
    import numpy as np

    kernel = np.maximum(window - np.abs(cells[:, None] - cells[None, :]), 0.0)
    active = np.ones(len(cells), dtype=bool)
    weights = np.zeros(len(cells))
    for _ in range(50):
        part = kernel[np.ix_(active, active)] + 1e-7 * window * np.eye(int(active.sum()))
        weights[:] = 0.0
        weights[active] = np.linalg.solve(part, np.ones(int(active.sum())))
        if not (weights < 0).any():
            break
        active &= weights > 0
    weights = np.maximum(weights, 0.0)
    found: Reals = weights / weights.sum()
    return found


def _pressure(places: Integers, weights: Reals, window: float) -> Reals:
    """Return for each place the sum over all of weight * max(window - distance, 0)."""
    import numpy as np

    mass = np.concatenate([[0.0], np.cumsum(weights)])
    moment = np.concatenate([[0.0], np.cumsum(weights * places)])
    low = np.searchsorted(places, places - window, side="right")
    high = np.searchsorted(places, places + window)
    at = np.arange(len(places))
    below = (window - places) * (mass[at] - mass[low]) + (moment[at] - moment[low])
    above = (window + places) * (mass[high] - mass[at]) - (moment[high] - moment[at])
    found: Reals = below + above
    return found
