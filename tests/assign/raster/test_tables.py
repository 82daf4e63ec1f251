"""Shortest spans by class of products and by spacing and guard, found by exhaustive search: the engine reaches all.

The tables: for each class of products that keep off every carrier, the least length that holds n carriers, in steps
of a raster. Those of third order are the shortest rulers with different differences (OEIS A003022, read in a public
copy); the others were computed by exhaustive search over all sets, outside this project.
"""

from __future__ import annotations

from itertools import combinations, permutations

import pytest

from planlint.assign.raster.pack import Budget, pack
from planlint.assign.raster.problem import Packing
from planlint.rf.intermodulation import Limits

#: By kinds that are on (two- and three-signal third, two- and three-signal fifth): lengths for 2, 3, ... carriers.
BY_CLASS = {
    (1, 0, 0, 0): (1, 3, 4, 8, 10, 12, 13, 19, 23),
    (0, 1, 0, 0): (1, 2, 4, 7, 12, 18, 24, 34),
    (1, 1, 0, 0): (1, 3, 6, 11, 17, 25, 34, 44),
    (1, 0, 1, 0): (1, 4, 5, 11, 14, 18, 21, 28),
    (1, 1, 1, 0): (1, 4, 8, 11, 19, 25, 36),
    (1, 1, 1, 1): (1, 4, 11, 19, 29, 42),
}
#: By (spacing, guard of both third-order kinds): lengths for 2, 3, ... carriers.
BY_SPACING = {
    (1, 1): (1, 3, 6, 11, 17, 25),
    (2, 2): (2, 6, 12, 22, 34),
    (3, 2): (3, 8, 15, 27, 40),
    (4, 2): (4, 10, 18, 28, 40),
    (3, 3): (3, 9, 18, 33, 51),
    (4, 4): (4, 12, 24, 44),
    (8, 2): (8, 18, 30, 44, 60),
    (8, 4): (8, 20, 36, 56, 80),
    (14, 2): (14, 30, 48, 68, 90),
    (14, 4): (14, 32, 54, 80),
    (16, 5): (16, 37, 63, 94),
}
#: The same with 3A = 2B + C at the guard.
WITH_FIFTH = {(4, 2): (4, 10, 18, 30, 44), (8, 4): (8, 20, 36, 60), (14, 4): (14, 32, 54, 84)}
ROWS = [
    *(((1, guards), lengths) for guards, lengths in BY_CLASS.items()),
    *(((spacing, (guard, guard, 0, 0)), lengths) for (spacing, guard), lengths in BY_SPACING.items()),
    *(((spacing, (guard, guard, guard, 0)), lengths) for (spacing, guard), lengths in WITH_FIFTH.items()),
]
SHAPES = ((0, (2, -1, -1)), (1, (1, 1, -1, -1)), (2, (3, -2, -1)), (3, (2, 1, -2, -1)), (3, (3, -1, -1, -1)))
CASES = [(spacing, guards, count, length) for (spacing, guards), row in ROWS for count, length in enumerate(row, 2)]


def clear(placed: tuple[int, ...], spacing: int, guards: tuple[int, ...]) -> bool:
    """By definition: every shape over every choice of different carriers."""
    return all(b - a >= spacing for a, b in combinations(placed, 2)) and not any(
        abs(sum(factor * carrier for factor, carrier in zip(factors, who, strict=True))) < guards[kind]
        for kind, factors in SHAPES
        if guards[kind]
        for who in permutations(placed, len(factors))
    )


@pytest.mark.parametrize(("spacing", "guards", "count", "length"), CASES)
def test_the_shortest_span_is_reached_and_no_shorter_one(
    spacing: int, guards: tuple[int, int, int, int], count: int, length: int
) -> None:
    budget = Budget(seconds=None, rounds=40)
    reached = pack(Packing(tuple(range(length + 1)), spacing, Limits(*guards)), target=count, budget=budget)
    assert len(reached.carriers) == count
    assert clear(reached.carriers, spacing, guards)
    shorter = pack(Packing(tuple(range(length)), spacing, Limits(*guards)), budget=Budget(seconds=None, rounds=1))
    assert clear(shorter.carriers, spacing, guards)
    assert len(shorter.carriers) < count or length == 0
    assert shorter.bound >= count - 1
