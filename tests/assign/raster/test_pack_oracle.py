"""The packing engine on small problems against trying everything, written here from the definition alone.

Letters are different carriers. Third order: 2A = B + C and A + B = C + D; fifth order: 3A = 2B + C, 2A + B = 2C + D
and 3A = B + C + D. A relation is clear when its sides are at least the largest guard of its members apart; one among
fixed carriers alone, or among carriers that are not on together, is not looked at.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import combinations, permutations

import pytest

from planlint.assign.raster import bound
from planlint.assign.raster.pack import Budget, Packed, pack
from planlint.assign.raster.problem import Fixed, Packing, channel_steps
from planlint.rf.intermodulation import Limits

FORMS = (
    (0, (2, -1, -1)),
    (1, (1, 1, -1, -1)),
    (2, (3, -2, -1)),
    (3, (2, 1, -2, -1)),
    (3, (3, -1, -1, -1)),
)


def fits(problem: Packing, placed: Sequence[int], one: int) -> bool:
    """Whether one more carrier is clear with those placed, which are clear, and with the fixed ones."""
    if any(abs(one - other) < problem.spacing for other in placed):
        return False
    together = problem.together or (frozenset(range(len(problem.fixed))),)
    for on in together:
        fixed = [problem.fixed[at] for at in sorted(on)]
        if any(abs(one - other.carrier) < other.spacing for other in fixed):
            return False
        carriers = [one, *placed, *(other.carrier for other in fixed)]
        guards = [problem.guards] * (1 + len(placed)) + [other.guards for other in fixed]
        for kind, factors in FORMS:
            if not any(guard[kind] for guard in guards):
                continue
            for rest in permutations(range(1, len(carriers)), len(factors) - 1):
                guard = max(guards[0][kind], *(guards[at][kind] for at in rest))
                for own in range(len(factors)):
                    who = (*rest[:own], 0, *rest[own:])
                    if abs(sum(factor * carriers[at] for factor, at in zip(factors, who, strict=True))) < guard:
                        return False
    return True


def largest(problem: Packing) -> int:
    """The size of the largest set, by trying everything: each carrier in or out, those that cannot win cut off."""
    best = 0

    def go(placed: tuple[int, ...], left: Sequence[int]) -> None:
        nonlocal best
        best = max(best, len(placed))
        for at, one in enumerate(left):
            if len(placed) + len(left) - at <= best:
                return
            after = (*placed, one)
            go(after, [other for other in left[at + 1 :] if fits(problem, after, other)])

    go((), [one for one in problem.allowed if fits(problem, (), one)])
    return best


def check(problem: Packing, found: Packed) -> None:
    """Every carrier is allowed, and clear with those before it and with the fixed ones."""
    assert set(found.carriers) <= set(problem.allowed)
    for at, one in enumerate(found.carriers):
        assert fits(problem, found.carriers[:at], one)
    assert len(found.carriers) <= found.bound


def small_problem(rng: random.Random) -> Packing:
    """A short band with closed stretches, fixed carriers on and off the raster, and some kinds of relations."""
    step = rng.choice([1, 5, 25])
    spacing = step * rng.randint(1, 4) - rng.randint(0, 1)
    two, three, fifth, far = (step * rng.randint(1, 2) + rng.randint(0, 1) for _ in range(4))
    kinds = rng.choice([(1, 1, 0, 0), (1, 1, 0, 0), (1, 1, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0), (1, 1, 1, 1)])
    guards = Limits(two * kinds[0], three * kinds[1], fifth * kinds[2], far * kinds[3])
    closed = [(start, start + step * rng.randint(1, 6)) for start in (step * rng.randint(0, 28) for _ in range(2))]
    allowed = channel_steps(0, 28 * step, step, closed, rng.choice([0, step]))
    fixed = tuple(
        Fixed(rng.randint(-4 * step, 32 * step), rng.choice([guards, Limits(step, 0, 0, 0)]), rng.choice([1, spacing]))
        for _ in range(rng.choice([0, 0, 1, 2, 3]))
    )
    sets = (frozenset({0, 1}), frozenset({1, 2})) if len(fixed) == 3 and rng.random() < 0.6 else None
    return Packing(allowed, max(spacing, 1), guards, fixed, sets)


@pytest.mark.parametrize("seed", range(40))
def test_small_problems_equal_trying_everything(seed: int) -> None:
    problem = small_problem(random.Random(seed))
    found = pack(problem, budget=Budget(seconds=None, rounds=3))
    check(problem, found)
    assert len(found.carriers) == largest(problem)
    assert bound.most(problem) >= len(found.carriers)


@pytest.mark.parametrize("guard", [2, 5, 9])
def test_a_spacing_below_the_guard_does_not_lower_the_bound(guard: int) -> None:
    """Two carriers a step apart are in no relation, whatever the guard; three need only one difference that large."""
    for allowed in ((0, 1), (0, 1, 2 + guard), tuple(range(30))):
        problem = Packing(allowed, 1, Limits(guard, guard, 0, 0))
        exact = largest(problem)
        assert bound.most(problem) >= exact
        assert len(pack(problem, budget=Budget(seconds=None, rounds=2)).carriers) == exact


def plain_greedy(problem: Packing, seed: int) -> int:
    order = list(problem.allowed)
    random.Random(seed).shuffle(order)
    placed: tuple[int, ...] = ()
    for one in order:
        if fits(problem, placed, one):
            placed = (*placed, one)
    return len(placed)


@pytest.mark.parametrize(
    ("low", "high", "step", "spacing", "guards", "closed"),
    [
        (470_000, 502_000, 125, 500, Limits(125, 125, 0, 0), [(478_000, 486_000)]),
        (863_000, 865_000, 5, 100, Limits(25, 25, 0, 0), []),
        (174_000, 181_000, 12, 300, Limits(50, 50, 50, 0), [(176_000, 176_500)]),
        (614_000, 630_000, 100, 350, Limits(100, 50, 50, 0), [(622_000, 624_000)]),
    ],
)  # fmt: skip
def test_other_bands_rasters_and_steps(
    low: int, high: int, step: int, spacing: int, guards: Limits, closed: list[tuple[int, int]]
) -> None:
    """In kHz, 8 MHz and other channels; two carriers stay. More than a plain random greedy, clear by definition."""
    allowed = channel_steps(low, high, step, closed, 100)
    fixed = tuple(Fixed(carrier, guards, spacing) for carrier in (low + 1_003, high - 701))
    problem = Packing(allowed, spacing, guards, fixed)
    found = pack(problem, budget=Budget(seconds=None, rounds=2))
    check(problem, found)
    assert len(found.carriers) > max(plain_greedy(problem, seed) for seed in range(2))


def test_clear_sets_of_pairs_only() -> None:
    """With every kind off, spacing alone counts, and the answer is known."""
    found = pack(Packing(tuple(range(100)), 7, Limits(0, 0, 0, 0)), budget=Budget(seconds=None, rounds=1))
    assert all(b - a >= 7 for a, b in combinations(found.carriers, 2))
    assert len(found.carriers) == found.bound == 15
