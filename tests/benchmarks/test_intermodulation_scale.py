"""How the relations scale: run with `pytest tests/benchmarks --benchmark-only`."""

import json
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from planlint.rf.intermodulation import Limits, relations
from planlint.rf.intermodulation_survey import survey

DEFAULTS = Limits(100_000, 50_000, 50_000, 0)  # for emissions of 200 kHz
BAND_HZ = (470_000_000, 608_000_000)
RASTER_HZ = 25_000


def on_raster(count: int, seed: int) -> list[int]:
    low, high = BAND_HZ
    steps = random.Random(seed)
    return [low + RASTER_HZ * steps.randrange((high - low) // RASTER_HZ) for _ in range(count)]


def ruzsa(prime: int, root: int) -> list[int]:
    """A set of prime - 1 carriers, in steps, clear of third order: I. Ruzsa, Acta Arith. 65 (1993)."""
    return [(prime * i + (prime - 1) * pow(root, i, prime)) % (prime * (prime - 1)) for i in range(1, prime)]


def median_s(work: Callable[[], Any], rounds: int = 9) -> float:
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def sort_of_pair_sums_s(carriers: list[int]) -> float:
    """What numpy needs to sort the pair sums of these carriers, in seconds."""
    values = np.array(carriers)
    first, second = np.triu_indices(len(values), 1)
    pair_sums = values[first] + values[second]
    return median_s(lambda: np.sort(pair_sums))


@pytest.mark.parametrize("road", ["relations", "survey"])
def test_1000_carriers_with_few_relations(benchmark: Any, road: str) -> None:
    """Within ten times the sort of the pair sums."""
    carriers = [BAND_HZ[0] + 135 * step for step in ruzsa(1009, 11)[:1000]]
    limits = Limits(100, 100, 100, 0)
    work = {
        "relations": lambda: sum(1 for _ in relations(carriers, limits)),
        "survey": lambda: sum(survey(carriers, limits).totals.values()),
    }[road]
    found = benchmark.pedantic(work, rounds=9)
    assert found == sum(1 for _ in relations(carriers, limits)) < 1000
    assert next(relations(carriers, Limits(100, 100, 0, 0)), None) is None
    ratio = benchmark.stats.stats.median / sort_of_pair_sums_s(carriers)
    benchmark.extra_info.update(relations=found, ratio_to_sort=round(ratio, 1))
    assert ratio < 10


@pytest.mark.parametrize("road", ["relations", "survey"])
def test_300_carriers_all_on_the_air(benchmark: Any, road: str) -> None:
    """Well under a second, all relations streamed or counted."""
    carriers = on_raster(300, seed=300)
    work = {
        "relations": lambda: sum(1 for _ in relations(carriers, DEFAULTS)),
        "survey": lambda: sum(survey(carriers, DEFAULTS).totals.values()),
    }[road]
    found = benchmark.pedantic(work, rounds=5)
    benchmark.extra_info["relations"] = found
    assert found > 300_000
    assert benchmark.stats.stats.median < 1


MEASURED = """
import json, random, resource, sys
from planlint.rf.intermodulation import Limits
from planlint.rf.intermodulation_survey import survey
steps = random.Random(2000)
carriers = [470_000_000 + steps.randrange(138_000_000) for _ in range(2000)]
found = survey(carriers, Limits(*json.loads(sys.argv[1])), keep=1000)
peak_kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(json.dumps([sum(found.totals.values()), len(found.closest), peak_kib]))
"""


@pytest.mark.parametrize("limits", [DEFAULTS, Limits(100_000, 50_000, 50_000, 50_000)], ids=["third", "all"])
def test_2000_random_carriers_within_2_gib(benchmark: Any, limits: Limits) -> None:
    """Exact totals per carrier and the closest thousand, of hundreds of millions; start-up included."""

    def run() -> list[int]:
        command = [sys.executable, "-c", MEASURED, json.dumps(limits)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        return [int(number) for number in json.loads(done.stdout)]

    total, kept, peak_kib = benchmark.pedantic(run, rounds=1)
    benchmark.extra_info.update(relations=total, peak_mib=peak_kib // 1024)
    assert total > 500_000_000
    assert kept == 1000
    assert peak_kib < 2 * 1024 * 1024
