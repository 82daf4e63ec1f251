"""How many carriers the packing engine places, beside a bound and a plain greedy: `pytest tests/benchmarks/test_packing.py --benchmark-only`.

The marks are set for 470-608 MHz in steps of 25 kHz, carriers at least 350 kHz apart, both kinds of third order. The
figures under "known" are the sizes of algebraic constructions (Singer, Bose), dilated by the guard, cut to the band and
thinned to the spacing; each was recomputed from its definition.
"""

import json
import random
import subprocess
import sys
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
import pytest

from tests.assign.raster.by_definition import third_order_clear

LOW_HZ, HIGH_HZ, STEP_HZ = 470_000_000, 608_000_000, 25_000
CHANNEL_HZ, CHANNELS, REACH_HZ = 6_000_000, 23, 100_000
SPACING_HZ = 350_000
GREEDY_RUNS = 20
SETS = 10

RUN = """
import json, sys, threading, time
from multiprocessing import active_children
from planlint.assign.raster.pack import Budget, pack
from planlint.assign.raster.problem import Packing
from planlint.rf.intermodulation import Limits
asked = json.load(sys.stdin)
peak = {}
def look(pid):  # the kernel's own mark, which a new program starts anew; ru_maxrss keeps its parent's
    try:
        with open(f"/proc/{pid}/status") as status:
            peak[pid] = next((int(line.split()[1]) for line in status if line.startswith("VmHWM")), peak.get(pid, 0))
    except OSError:
        pass
def watch():
    while True:
        for pid in ["self", *(child.pid for child in active_children())]:
            look(pid)
        time.sleep(0.1)
threading.Thread(target=watch, daemon=True).start()
problem = Packing(tuple(asked["allowed"]), asked["spacing"], Limits(*asked["guards"]))
start = time.monotonic()
found = pack(problem, budget=Budget(seconds=asked["seconds"]), workers=2)
took = time.monotonic() - start
look("self")
print(json.dumps({**found._asdict(), "took": took, "peak_kib": peak.pop("self"), "others_kib": list(peak.values())}))
"""


class Case(NamedTuple):
    """One row of the table: what is asked, and the floor to hold."""

    name: str
    guard_hz: int
    fifth_hz: int
    live: tuple[int, ...]
    known: str
    floor: int

    def allowed_hz(self) -> list[int]:
        """Carriers whose emission stays clear of every live channel; touching is clear."""
        reach = REACH_HZ if self.live else 0
        closed = [(LOW_HZ + at * CHANNEL_HZ, LOW_HZ + (at + 1) * CHANNEL_HZ) for at in self.live]
        return [
            hz
            for hz in range(LOW_HZ, HIGH_HZ + 1, STEP_HZ)
            if all(hz + reach <= low or hz - reach >= high for low, high in closed)
        ]


def live(count: int, seed: int) -> tuple[int, ...]:
    return tuple(sorted(random.Random(seed).sample(range(CHANNELS), count)))


OPEN = [
    Case("open, 50 kHz", 50_000, 0, (), "52", 52),
    Case("open, 75 kHz", 75_000, 0, (), "44", 44),
    Case("open, 100 kHz", 100_000, 0, (), "39", 39),
    Case("open, 100 kHz, 3A-2B too", 100_000, 100_000, (), "34", 34),
]
LONG = [
    *OPEN,
    Case("9 live, 75 kHz", 75_000, 0, live(9, 0), "-", 34),
    Case("16 live, 75 kHz", 75_000, 0, live(16, 0), "-", 30),
]
RANDOM = {
    count: [Case(f"{count} live, set {seed}", 75_000, 0, live(count, seed), "-", floor) for seed in range(SETS)]
    for count, floor in ((9, 34), (16, 28))
}


def plain_greedy(case: Case, seed: int) -> list[int]:
    """The definition and nothing else: allowed carriers in random order, each taken when it is clear."""
    order = case.allowed_hz()
    random.Random(seed).shuffle(order)
    taken: list[int] = []
    products: dict[int, list[int]] = {own: [] for own in (1, 2, 3)}
    sorted_products = {own: np.array([], dtype=np.int64) for own in (1, 2, 3)}
    for x in order:
        guards = {1: case.guard_hz, 2: case.guard_hz, 3: case.fifth_hz}
        if any(abs(x - a) < SPACING_HZ for a in taken):
            continue
        if any(guards[own] and _near(sorted_products[own], own * x, guards[own]) for own in (1, 2, 3)):
            continue
        if case.fifth_hz and any(abs(3 * a - 2 * x - b) < case.fifth_hz for a in taken for b in taken if a != b):
            continue
        for a in taken:
            products[1] += [2 * a - x, 2 * x - a]
            products[2] += [a + x]
            products[1] += [p for b in taken if b != a for p in (a + x - b,)]
            products[1] += [a + b - x for b in taken if b < a]
            products[3] += [2 * a + x, 2 * x + a]
            if case.fifth_hz:
                products[1] += [3 * a - 2 * x, 3 * x - 2 * a]
        taken.append(x)
        sorted_products = {own: np.sort(np.array(values, dtype=np.int64)) for own, values in products.items()}
    return sorted(taken)


def _near(values: Any, target: int, guard: int) -> bool:
    at = int(np.searchsorted(values, target - guard + 1))
    return at < len(values) and int(values[at]) < target + guard


def packed(case: Case, seconds: float) -> dict[str, Any]:
    """What a fresh process finds with two workers, re-checked from the definition."""
    allowed = case.allowed_hz()
    guards = [case.guard_hz, case.guard_hz, case.fifth_hz, 0]
    asked = {"allowed": allowed, "spacing": SPACING_HZ, "seconds": seconds, "guards": guards}
    done = subprocess.run([sys.executable, "-c", RUN], input=json.dumps(asked), capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    assert set(found["carriers"]) <= set(allowed)
    assert third_order_clear(found["carriers"], SPACING_HZ, case.guard_hz, case.fifth_hz)
    return found


def row(case: Case, seconds: float, show: Callable[[str], None]) -> tuple[int, float]:
    """Show a line of the table; return how many carriers, and the ratio to the plain greedy's best."""
    found = packed(case, seconds)
    count = len(found["carriers"])
    greedy = [len(plain_greedy(case, seed)) for seed in range(GREEDY_RUNS)]
    assert third_order_clear(plain_greedy(case, 0), SPACING_HZ, case.guard_hz, case.fifth_hz)
    show(
        f"{case.name:26} {count:7} {case.known:>6} {found['bound']:6} {found['bound'] - count:4} "
        f"{found['history'][-1][0]:8.1f} {found['took']:6.1f} {max(greedy):7} {sum(greedy) / len(greedy):6.1f} "
        f"{count / max(greedy):6.2f} {found['peak_kib'] / 1024:7.0f} {max(found['others_kib'], default=0) / 1024:7.0f}"
    )
    assert found["took"] < seconds + 1
    return count, count / max(greedy)


HEAD = (
    f"{'case':26} reached  known  bound  gap  reach s   took  greedy   mean  ratio MiB own  MiB other\n"
    f"(greedy: the best of {GREEDY_RUNS} random orders, and their mean; ratio: to the best)"
)


shown: list[str] = []


@pytest.fixture
def show(capsys: pytest.CaptureFixture[str]) -> Callable[[str], None]:
    """Prints at once, whatever pytest captures; the head of the table comes once."""

    def to_terminal(text: str) -> None:
        with capsys.disabled():
            print(text if shown else f"\n{HEAD}\n{text}", flush=True)
        shown.append(text)

    return to_terminal


@pytest.mark.parametrize("case", LONG, ids=lambda case: case.name)
def test_the_marks_in_a_minute(benchmark: Any, show: Callable[[str], None], case: Case) -> None:
    """The mark of every kind of case, with 60 seconds and two workers."""
    count, ratio = benchmark.pedantic(lambda: row(case, 60, show), rounds=1)
    benchmark.extra_info["carriers"] = count
    assert count >= case.floor
    assert ratio > 1


@pytest.mark.parametrize("count", RANDOM)
def test_ten_random_sets_of_live_channels(benchmark: Any, show: Callable[[str], None], count: int) -> None:
    """Ten sets of live channels with 20 seconds each: never behind the best of the plain greedy's."""
    rows = benchmark.pedantic(lambda: [row(case, 20, show) for case in RANDOM[count]], rounds=1)
    mean = sum(ratio for _, ratio in rows) / SETS
    show(f"{count} live: {sum(reached for reached, _ in rows) / SETS:.1f} carriers, mean ratio {mean:.3f}")
    benchmark.extra_info["mean_ratio"] = round(mean, 3)
    assert all(reached >= case.floor for (reached, _), case in zip(rows, RANDOM[count], strict=True))
    assert min(ratio for _, ratio in rows) > 1
