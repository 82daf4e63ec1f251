"""Power in a scan against closed forms: flat noise, a slope, a single carrier; and times against the calendar."""

from __future__ import annotations

import calendar
import math
from array import array
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.facts.scan import Floor, NoFloor, Scan, age_min, floor
from planlint.facts.scan_file import ScanFiles
from planlint.facts.scan_floor import power
from planlint.facts.scan_peaks import stands_out
from planlint.facts.scan_points import Points, median, share
from planlint.plan.model import DayEntry
from tests.plans import plan_of

PLAN = "plan_format: 1\nkind: plan\nlinks: {vox: {kind: ear, carrier_mhz: 505.300}}\n"


def points_of(low_hz: int, high_hz: int, step_hz: int, level: Callable[[int], float]) -> Points:
    hz = range(low_hz, high_hz + 1, step_hz)
    return Points(array("q", hz), array("d", map(level, hz)))


def test_minus_83_in_100_khz_are_minus_80_in_200_khz() -> None:
    """Closed form: noise power is proportional to bandwidth; -83 + 10 log10(2) = -79.99."""
    points = points_of(500_000_000, 502_000_000, 100_000, lambda hz: -83.0)
    found = power(points, 100_000, 500_900_000, 501_100_000)
    assert found.dbm == pytest.approx(-83 + 10 * math.log10(2), abs=1e-9)
    assert found.line_dbm == -80.0


@given(
    level=st.floats(-130, -40),
    resolution_hz=st.integers(1_000, 1_000_000),
    step_hz=st.integers(5_000, 300_000),
    width_hz=st.integers(10_000, 2_000_000),
)
def test_flat_noise(level: float, resolution_hz: int, step_hz: int, width_hz: int) -> None:
    """Closed form: L + 10 log10(B / R), whatever the step; the house's line counts it in 200 kHz."""
    points = points_of(490_000_000, 510_000_000, step_hz, lambda hz: level)
    found = power(points, resolution_hz, 500_000_000 - width_hz / 2, 500_000_000 + width_hz / 2)
    assert found.dbm == pytest.approx(level + 10 * math.log10(width_hz / resolution_hz), abs=1e-6)
    assert found.line_dbm == pytest.approx(level + 10 * math.log10(200_000 / resolution_hz), abs=0.0501)
    assert found.carriers_mw == 0


@given(slope_db_per_mhz=st.floats(-20, 20), width_hz=st.integers(100_000, 400_000))
def test_sloping_noise(slope_db_per_mhz: float, width_hz: int) -> None:
    """Closed form: the integral of 10^(s f / 10) over the width is 10 sinh(k B / 2) * 2 / k, k = s ln 10 / 10."""
    middle = 500_000_000
    points = points_of(499_000_000, 501_000_000, 1_000, lambda hz: -100 + slope_db_per_mhz * (hz - middle) / 1e6)
    k = slope_db_per_mhz * math.log(10) / 10
    width_mhz = width_hz / 1e6
    integral_mhz = width_mhz if abs(k) < 1e-9 else 2 * math.sinh(k * width_mhz / 2) / k
    expected = -100 + 10 * math.log10(integral_mhz / 0.1)
    assert power(points, 100_000, middle - width_hz // 2, middle + width_hz // 2).dbm == pytest.approx(
        expected, abs=0.05
    )


@given(
    level=st.floats(-85, -30),
    resolution_hz=st.sampled_from([10_000, 25_000, 100_000, 200_000, 300_000]),
    step_hz=st.sampled_from([25_000, 50_000, 100_000]),
)
def test_a_single_carrier_is_never_scaled(level: float, resolution_hz: int, step_hz: int) -> None:
    """An unmodulated carrier reads the same in every resolution: one point, or as many as a filter is wide."""
    middle = 500_000_000
    half = max(resolution_hz, step_hz) / 2
    points = points_of(495_000_000, 505_000_000, step_hz, lambda hz: level if abs(hz - middle) < half else -130.0)
    found = power(points, resolution_hz, middle - 200_000, middle + 200_000)
    assert found.carriers_mw == pytest.approx(
        10 ** (level / 10), rel=0.26
    )  # a filter's width is a whole number of steps
    assert found.carriers_mw >= 10 ** (level / 10) * (1 - 1e-9)


def test_a_lone_carrier_beside_the_emission_does_not_count_in_full() -> None:
    points = points_of(495_000_000, 505_000_000, 100_000, lambda hz: -50.0 if hz == 500_200_000 else -120.0)
    inside = power(points, 100_000, 500_000_000, 500_400_000)
    beside = power(points, 100_000, 499_970_000, 500_170_000)  # 20 kHz of the point's stretch reach in
    assert inside.dbm == pytest.approx(-50, abs=0.01)
    assert beside.dbm == pytest.approx(-50 + 10 * math.log10(0.2), abs=0.01)


def scan_of(folder: Path, name: str, points: Points, **spec: object) -> Scan:
    rows = "".join(f"{hz / 1e6:.6f},{level}\n" for hz, level in zip(points.hz, points.dbm, strict=True))
    (folder / f"{name}.csv").write_text(f"freq_mhz,level_dbm\n{rows}")
    file = ScanFiles(folder.resolve())("plan.yaml", f"{name}.csv")
    return Scan(name, {"file": f"{name}.csv", "resolution_khz": 100, **spec}, f"/scans/{name}", file)


def test_several_scans_are_combined_by_their_highest(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, PLAN)
    quiet = scan_of(tmp_path, "quiet", points_of(500_000_000, 510_000_000, 100_000, lambda hz: -100.0))
    loud = scan_of(tmp_path, "loud", points_of(500_000_000, 510_000_000, 100_000, lambda hz: -90.0))
    for scans in ((quiet, loud), (loud, quiet)):
        found = floor(plan, scans, 505_200_000, 505_400_000)
        assert isinstance(found, Floor)
        assert found.scan == "loud"
        assert found.power.dbm == pytest.approx(-90 + 10 * math.log10(2))


def test_two_scans_that_meet_add_up(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, PLAN)
    low = scan_of(tmp_path, "low", points_of(500_000_000, 505_300_000, 100_000, lambda hz: -90.0))
    high = scan_of(tmp_path, "high", points_of(505_300_000, 510_000_000, 100_000, lambda hz: -90.0))
    found = floor(plan, (low, high), 505_200_000, 505_400_000)
    assert isinstance(found, Floor)
    assert found.power.dbm == pytest.approx(-90 + 10 * math.log10(2))
    assert isinstance(floor(plan, (low,), 505_200_000, 505_400_000), NoFloor)


def test_what_may_be_our_own_is_no_floor(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, PLAN)
    points = points_of(500_000_000, 510_000_000, 100_000, lambda hz: -50.0 if hz == 505_300_000 else -100.0)
    scan = scan_of(tmp_path, "stage", points)
    assert floor(plan, (scan,), 505_200_000, 505_400_000, frozenset({"stage"})) == NoFloor(("/scans/stage/own_rf",))
    quiet = floor(plan, (scan,), 507_200_000, 507_400_000, frozenset({"stage"}))
    assert isinstance(quiet, Floor)
    assert quiet.power.line_dbm == -97.0


@pytest.mark.parametrize(("offset_khz", "expected"), [(0, True), (50, True), (-50, True), (100, False), (-100, False)])
def test_a_peak_is_a_carriers_within_50_khz(offset_khz: int, expected: bool) -> None:
    points = points_of(495_000_000, 505_000_000, 50_000, lambda hz: -55.0 if hz == 500_000_000 else -104.0)
    assert stands_out(points, 500_000_000 + offset_khz * 1000) is expected


def test_a_plateau_is_no_peak() -> None:
    points = points_of(480_000_000, 520_000_000, 100_000, lambda hz: -60.0 if 494e6 <= hz < 506e6 else -104.0)
    assert stands_out(points, 500_000_000) is False
    assert stands_out(points, 530_000_000) is None


@given(st.lists(st.floats(-150, 0), min_size=1, max_size=30))
def test_the_median_has_as_many_on_either_side(levels: list[float]) -> None:
    middle = median(levels)
    assert middle in levels
    assert sum(level < middle for level in levels) <= len(levels) / 2
    assert sum(level > middle for level in levels) <= len(levels) / 2
    assert share(levels, 0) == min(levels)
    assert share(levels, 1) == max(levels)


@given(
    taken=st.datetimes(datetime(2020, 1, 1), datetime(2032, 12, 31)).map(
        lambda at: at.replace(second=0, microsecond=0)
    ),
    later=st.integers(-3000, 30_000),
)
def test_ages_are_those_of_the_calendar(taken: datetime, later: int, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Against seconds since 1970 (`calendar.timegm`), over month ends and leap days."""
    needed = taken + timedelta(minutes=later)
    plan = plan_of(tmp_path_factory.mktemp("age"), PLAN)._replace(
        show={"date": needed.strftime("%Y-%m-%d")},
        day=(DayEntry("packs on", needed.hour * 60 + needed.minute, None, False, None, None, "/day/0"),),
    )
    scan = Scan("stage", {"file": "x.csv", "at": taken.strftime("%Y-%m-%dT%H:%M")}, "/scans/stage", None)
    seconds = calendar.timegm(needed.timetuple()) - calendar.timegm(taken.timetuple())
    assert age_min(plan, scan) == seconds / 60 == later
