"""How scans scale: run with `pytest tests/benchmarks --benchmark-only`."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from planlint.config import read_config
from planlint.engine import check
from planlint.facts.scan_csv import read

ROWS = 1_000_000
LOW_HZ, STEP_HZ = 470_000_000, 138
CHANNEL_HZ = 6_000_000
LIVE = {14, 17, 20, 25, 31}

PLAN = """\
plan_format: 1
kind: plan
show: {region: us, date: "2026-03-14"}
spectrum: {tv_occupied: [14, 17, 20, 25, 31]}
scans:
  stage: {file: stage.csv, at: "2026-03-14T13:05", for: ear, resolution_khz: 1, own_rf: silent, guests_rf: silent, held: max}
"""

PEAK = """
import json, sys
from planlint.facts.scan_csv import read
def peak_kib():  # the kernel's own mark, which a new program starts anew; ru_maxrss keeps its parent's
    with open("/proc/self/status") as status:
        return next(int(line.split()[1]) for line in status if line.startswith("VmHWM"))
with open(sys.argv[1], "rb") as stream:
    before = peak_kib()
    reading = read(stream)
    print(json.dumps([len(reading.points), peak_kib() - before]))
"""


@pytest.fixture(scope="module")
def million(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a scan of a million rows, 138 Hz apart, five TV channels in it, and a plan of 14 links."""
    folder = tmp_path_factory.mktemp("million")
    with (folder / "stage.csv").open("w") as stream:
        stream.write("freq_mhz,level_dbm\n")
        for row in range(ROWS):
            hz = LOW_HZ + STEP_HZ * row
            tv = 14 + (hz - LOW_HZ) // CHANNEL_HZ in LIVE
            stream.write(f"{hz / 1e6:.6f},{-126 + row * 7919 % 31 / 10 + 45 * tv:.1f}\n")
    free = [channel for channel in range(14, 37) if channel not in LIVE]
    carriers = [LOW_HZ + (channel - 14) * CHANNEL_HZ + 1_500_000 + 25_000 * channel for channel in free[:14]]
    links = "".join(f"  ear-{index}: {{kind: ear, carrier_mhz: {hz / 1e6:.3f}}}\n" for index, hz in enumerate(carriers))
    (folder / "plan.yaml").write_text(f"{PLAN}links:\n{links}")
    return folder


def test_a_million_rows_are_read(benchmark: Any, million: Path) -> None:
    """The reader alone; the ratio is to Python's own loop that does nothing but turn the text into numbers."""

    def work() -> int:
        with (million / "stage.csv").open("rb") as stream:
            points = read(stream).points
        assert points is not None
        return len(points)

    assert benchmark.pedantic(work, rounds=5) == ROWS

    def plain() -> int:
        with (million / "stage.csv").open() as stream:
            next(stream)
            return sum(1 for line in stream if tuple(map(float, line.split(","))))

    from time import perf_counter

    start = perf_counter()
    assert plain() == ROWS
    ratio = benchmark.stats.stats.median / (perf_counter() - start)
    benchmark.extra_info["ratio_to_plain_loop"] = round(ratio, 2)
    assert ratio < 3


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the peak is read from the kernel's process table")
def test_a_million_rows_take_bounded_memory(benchmark: Any, million: Path) -> None:
    """Sixteen bytes a row are kept; what is needed beside them does not grow with the file."""

    def run() -> list[int]:
        command = [sys.executable, "-c", PEAK, str(million / "stage.csv")]
        return [
            int(number)
            for number in json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
        ]

    rows, grown_kib = benchmark.pedantic(run, rounds=1)
    benchmark.extra_info["grown_mib"] = grown_kib // 1024
    assert rows == ROWS
    assert 16 * ROWS / 1024 < grown_kib < 64 * 1024


def test_a_plan_with_a_million_rows_is_checked(benchmark: Any, million: Path) -> None:
    """Every rule of a whole run, floors and TV channels included, in a few seconds."""
    report = benchmark.pedantic(lambda: check(million, [million / "plan.yaml"], read_config(million)), rounds=3)
    assert {"floor-over-usable", "scan-vs-tv-list", "scan-gap", "scan-too-coarse"} <= set(report.ran)
    assert [
        finding.rule for finding in report.findings if finding.rule.startswith(("scan-", "floor-over-usable"))
    ] == []
