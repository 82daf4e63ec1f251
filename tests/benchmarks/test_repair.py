"""Repairs at size, and 200 random plans against the exact optimum: `pytest tests/benchmarks --benchmark-only -s`.

The oracle (tests/assign/raster/by_definition.py) imports nothing of the search: it tries sets of links in rising
cost and places each by trying every carrier. Where it does not end in its time it says nothing.
"""

from __future__ import annotations

import statistics
import time
from typing import Any

import pytest

from planlint.assign.clock import Clock
from planlint.assign.raster.outcome import Effort
from planlint.assign.raster.repair import repair
from tests.assign.raster.by_definition import TimeOverError
from tests.assign.raster.test_repair import checked
from tests.assign.raster.venues import as_links, big, venue

PLANS = 200
ORACLE_S = 120.0
FIRST = Effort(equals=0)


def test_two_hundred_plans_in_a_new_venue(benchmark: Any) -> None:
    """10 to 20 links each: proven in every plan, and the same as the oracle wherever it ends."""

    def run() -> tuple[list[float], list[int]]:
        taken, costs = [], []
        for seed in range(PLANS):
            problem = venue(seed)
            start = time.perf_counter()
            found = repair(problem, effort=FIRST)
            taken.append(time.perf_counter() - start)
            checked(problem, found)
            assert found.proven
            costs.append(found.cost)
        return taken, costs

    taken, costs = benchmark.pedantic(run, rounds=1, iterations=1)
    compared, no_end = 0, []
    for seed in range(PLANS):
        links = as_links(venue(seed))
        links.deadline = time.monotonic() + ORACLE_S
        try:
            assert links.cheapest() == costs[seed], seed
        except TimeOverError:
            no_end.append(seed)
        else:
            compared += 1
    print(
        f"\n{PLANS} plans, all proven: median {statistics.median(taken):.3f} s, largest {max(taken):.1f} s; "
        f"the same as the oracle in {compared}, no end of it within {ORACLE_S:g} s in {no_end}"
    )
    assert compared >= PLANS - 2


@pytest.mark.parametrize(
    ("acts", "each", "band", "live"),
    [
        (1, 10, (470_000, 608_000), 5),
        (1, 20, (470_000, 608_000), 5),
        (2, 20, (470_000, 608_000), 5),
        (1, 40, (470_000, 698_000), 8),
        (5, 20, (470_000, 608_000), 5),
    ],
)
def test_repairs_by_size(acts: int, each: int, band: tuple[int, int], live: int, benchmark: Any) -> None:
    """Time to a repair of the least cost, and with the comparison of margins besides; at most 60 s each."""

    def run() -> list[tuple[Any, ...]]:
        rows = []
        for seed in range(3):
            problem = big(seed, acts, each, band, live)
            start = time.perf_counter()
            found = repair(problem, clock=Clock(60), effort=FIRST)
            first = time.perf_counter() - start
            checked(problem, found)
            start = time.perf_counter()
            whole = repair(problem, clock=Clock(60))
            rows.append((first, time.perf_counter() - start, found.cost, found.bound, whole.margin))
        return rows

    rows = benchmark.pedantic(run, rounds=1, iterations=1)
    for first, whole, cost, bound, margin in rows:
        print(
            f"\n{acts} x {each} links: cost {cost} (at least {bound}) in {first:.2f} s; "
            f"margin {margin} kHz, in all {whole:.1f} s"
        )
