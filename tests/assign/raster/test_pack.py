"""The packing engine against published tables, with every result re-checked by definition.

The re-check imports nothing from the engine: it goes over products of index tuples. Spans: OEIS A003022 (optimal
Golomb rulers, read in a public copy) and minimal spans with spacing and guard found by exhaustive search.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import pytest

from planlint.assign.raster import bound, constructions
from planlint.assign.raster.pack import Budget, pack
from planlint.assign.raster.problem import Fixed, Packing
from planlint.rf.intermodulation import Limits

#: Length of the shortest ruler with so many marks: OEIS A003022.
RULERS = {4: 6, 5: 11, 6: 17, 7: 25, 8: 34}
#: (spacing, guard): length for 2, 3, ... carriers, third order clear; exhaustive search.
SPANS = {
    (4, 2): (4, 10, 18, 28, 40),
    (3, 3): (3, 9, 18, 33, 51),
    (8, 2): (8, 18, 30, 44, 60),
    (14, 4): (14, 32, 54, 80),
}


def clear(placed: Sequence[int], spacing: int, guard: int, fifth: int = 0, fixed: Sequence[int] = ()) -> bool:
    """Third order (and two-signal fifth) by definition: no product nearer than its guard to any other carrier."""
    if any(abs(a - b) < spacing for a, b in combinations(placed, 2)):
        return False
    everyone = [*placed, *fixed]
    for a, b in ((x, y) for x in range(len(everyone)) for y in range(len(everyone)) if x != y):
        for v in range(len(everyone)):
            if v in {a, b}:
                continue
            members = {everyone[a], everyone[b], everyone[v]}
            if members <= set(fixed):
                continue
            if abs(2 * everyone[a] - everyone[b] - everyone[v]) < guard:
                return False
            if fifth and abs(3 * everyone[a] - 2 * everyone[b] - everyone[v]) < fifth:
                return False
    for four in combinations(range(len(everyone)), 4):
        a, b, c, d = (everyone[index] for index in four)
        if not {a, b, c, d} <= set(fixed) and any(
            abs(s) < guard for s in (a + b - c - d, a + c - b - d, a + d - b - c)
        ):
            return False
    return True


@pytest.mark.parametrize(("marks", "length"), RULERS.items())
def test_rulers(marks: int, length: int) -> None:
    """So many carriers fit into length + 1 positions, and one position less holds one carrier less, proven."""
    for positions, expected in ((length + 1, marks), (length, marks - 1)):
        found = pack(Packing(tuple(range(positions)), 1, Limits(1, 1, 0, 0)), budget=Budget(seconds=None, rounds=30))
        assert clear(found.carriers, 1, 1)
        assert len(found.carriers) == expected
        assert found.proven
        assert found.bound == expected


@pytest.mark.parametrize(("spacing", "guard"), SPANS)
def test_spans_with_spacing_and_guard(spacing: int, guard: int) -> None:
    for count, length in enumerate(SPANS[spacing, guard], 2):
        problem = Packing(tuple(range(length + 1)), spacing, Limits(guard, guard, 0, 0))
        found = pack(problem, budget=Budget(seconds=None, rounds=30))
        assert clear(found.carriers, spacing, guard)
        assert len(found.carriers) == count
        assert bound.most(problem) >= count
        assert bound.least_span(count, spacing, guard) <= length


def test_closed_parts_fixed_carriers_and_fifth_order() -> None:
    allowed = tuple(x for x in range(600) if not 100 <= x < 220 and not 400 <= x < 430)
    fixed = (50, 333)
    guards = Limits(3, 3, 3, 0)
    problem = Packing(allowed, 10, guards, tuple(Fixed(carrier, guards, 10) for carrier in fixed))
    found = pack(problem, budget=Budget(seconds=None, rounds=1))
    assert set(found.carriers) <= set(allowed)
    assert all(abs(placed - carrier) >= 10 for placed in found.carriers for carrier in fixed)
    assert clear(found.carriers, 10, 3, fifth=3, fixed=fixed)
    assert 6 <= len(found.carriers) <= found.bound


def test_the_same_seed_gives_the_same_answer() -> None:
    problem = Packing(tuple(range(900)), 8, Limits(2, 2, 0, 0))
    first, second = (pack(problem, budget=Budget(seconds=None, rounds=1), seed=3) for _ in range(2))
    assert first.carriers == second.carriers
    assert clear(first.carriers, 8, 2)


def test_a_target_ends_the_search() -> None:
    found = pack(Packing(tuple(range(900)), 8, Limits(2, 2, 0, 0)), target=5, budget=Budget(seconds=None, rounds=1))
    assert len(found.carriers) == 5
    assert clear(found.carriers, 8, 2)


@pytest.mark.parametrize(
    ("name", "orders"), [("singer", (2, 3, 4, 5, 7, 8, 9)), ("bose", (3, 4, 5, 7, 8, 9)), ("ruzsa", (5, 7, 11, 13))]
)
def test_constructions_have_different_differences(name: str, orders: tuple[int, ...]) -> None:
    """Singer (1938), Bose (1942), Ruzsa (1993): all differences of two members are different modulo the modulus."""
    for order in orders:
        found = getattr(constructions, name)(order)
        differences = [(a - b) % found.modulus for a in found.members for b in found.members if a != b]
        assert len(differences) == len(set(differences)), (name, order)
        sizes = {"singer": order + 1, "bose": order, "ruzsa": order - 1}
        moduli = {"singer": order**2 + order + 1, "bose": order**2 - 1, "ruzsa": order * (order - 1)}
        assert (len(found.members), found.modulus) == (sizes[name], moduli[name])


@pytest.mark.parametrize("p", [5, 7, 11, 13])
def test_erdos_turan(p: int) -> None:
    members = constructions.erdos_turan(p)
    assert len(members) == p
    assert max(members) < 2 * p * p
    assert clear(members, 1, 1)


def test_a_single_place_in_hz() -> None:
    guards = Limits(100_000, 50_000, 0, 0)
    for other, count in ((500_350_000, 1), (500_349_999, 0)):
        fixed = (Fixed(other, guards, 350_000), Fixed(607_900_001, guards, 350_000))
        found = pack(Packing((500_000_000,), 350_000, guards, fixed), budget=Budget(seconds=None, rounds=1))
        assert len(found.carriers) == count
        assert found.proven
