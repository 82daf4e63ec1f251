"""How many carriers can fit at most: arguments that hold for every set, not only for those a search finds.

All differences of a set clear of third order are at least the spacing, and any two of them at least a guard apart.
Counting them in windows bounds the size. Along the whole span: windows of k neighbouring carriers (closed form).
Where parts of the band are closed: the sum over all pairs of max(u - difference, 0) is at most what the smallest
differences allow, and at least what the least crowded weighting of the free positions gives; the weighting is
found approximately, but any weighting gives a true bound, and the numbers are rounded to the safe side.

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

_CELLS = 1_500
"""Free positions are gathered in at most so many stretches before they are weighted."""


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

    where = np.array(allowed, dtype=np.int64)
    low, high = int(where[0]), int(where[-1])
    cell = max(1, -(-(high - low + 1) // _CELLS))
    cells = np.unique((where - low) // cell)
    best = known
    ladder = {int(spacing * 1.5**step) for step in range(2, 40)}
    for window in sorted(length for length in ladder if 2 * spacing < length <= 2 * (high - low)):
        crowding = _least_crowding(cells.astype(np.float64) * cell, cell, window)
        terms = (window - spacing) // guard + 1
        near = terms * (window - spacing) - guard * terms * (terms - 1) // 2
        # best^2 * crowding <= best * window + 2 * near
        best = min(best, math.floor((window + math.sqrt(window * window + 8 * near * crowding)) / (2 * crowding)))
    return best


def _least_crowding(cells: Reals, cell: int, window: int) -> float:
    """Return a lower bound of the sum of max(window - |a - b|, 0) over pairs drawn with any weights of sum 1.

    Two positions in different cells may be nearer or further apart by less than a cell than their cells are: the
    kernel is made smaller by as much, which keeps the bound true for every position in a cell.
    """
    import numpy as np

    apart = np.abs(cells[:, None] - cells[None, :])
    kernel = np.maximum(window - apart, 0.0)
    margin = cell - 1.0
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
    weights /= weights.sum()
    pressure = kernel @ weights
    # for every weighting x: x'Kx >= 2 c x'Kz - c^2 z'Kz, at its largest for c = min(Kz) / z'Kz
    return max(float(pressure.min() ** 2 / (weights @ pressure)) * (1 - 1e-9) - margin, 1e-9)
