"""Link margins against sums done by hand. Free space: ITU-R P.525 (32.45 + 20 log f + 20 log d, MHz and km)."""

from __future__ import annotations

from math import log10, sqrt
from pathlib import Path

import pytest

from planlint.facts import Facts
from planlint.facts.margin import Margin, NoMargin
from planlint.facts.scan_file import ScanFiles
from tests.plans import plan_of

PLAN = """\
plan_format: 1
kind: plan
policy: {{link: {{margin_db: 10, body_loss_db: 20}}}}
models:
  tx: {{role: ear-transmitter, emission_khz: 200, powers_mw: [10, 30, 50], power_basis: eirp}}
  pk: {{role: ear-pack, needs_ci_db: {{stereo: 25, mono: 15}}, own_antenna_gain_dbi: 0, noise_figure_db: 0}}
people: {{p: {{does: singer}}}}
devices: {{T: {{model: tx, into: none}}, P: {{model: pk}}}}
links: {{e: {{kind: ear, tx: T, packs: {{P: {{person: p, decodes: {mode}}}}}, carrier_mhz: 503.000, power_mw: {power}}}}}
reach: {{p: {{farthest_m: {metres}}}}}
scans: {{s: {{file: s.csv, for: ear, resolution_khz: 100, own_rf: silent}}}}
"""


def margin(folder: Path, *, power: float = 30, metres: float = 18, mode: str = "stereo", floor: float = -80) -> Margin:
    rows = [f"{502.5 + step / 10:.1f},{floor - 10 * log10(2):.4f}" for step in range(11)]
    (folder / "s.csv").write_text("freq_mhz,level_dbm\n" + "\n".join(rows) + "\n")
    plan = plan_of(folder, PLAN.format(power=power, metres=metres, mode=mode))
    facts = Facts(plan, lambda: None, ScanFiles(folder.resolve()))
    (found,) = facts.margins
    assert isinstance(found, Margin), found
    return found


def test_the_rule_of_thumb_case(tmp_path: Path) -> None:
    """18 m, 30 mW EIRP, 20 dB body loss: wanted -56.8 dBm; a floor of -80 leaves 23 dB, enough for mono (15), not
    for stereo (25). Common practice, no source, for the loss; the sum is closed form."""
    found = margin(tmp_path)
    assert found.wanted_dbm == pytest.approx(-56.8, abs=0.05)
    assert found.floor_dbm == pytest.approx(-80, abs=0.01)
    assert found.wanted_dbm - found.floor_dbm == pytest.approx(23.2, abs=0.1)
    assert found.margin_db < 0
    assert margin(tmp_path, mode="mono").margin_db == pytest.approx(8.2, abs=0.1)


def test_the_sum_by_hand(tmp_path: Path) -> None:
    found = margin(tmp_path, power=50, metres=10, floor=-95)
    path = 32.4478 + 20 * log10(503) + 20 * log10(0.010)
    noise = 10 * log10(10**-9.5 + 10**-12.0965)  # the scan's floor and kTB in 200 kHz at 290 K, -120.965 dBm
    assert found.margin_db == pytest.approx(10 * log10(50) - path - 20 - noise - 25, abs=0.01)


def test_more_power_and_less_distance_by_closed_form(tmp_path: Path) -> None:
    """10 -> 50 mW is 6.99 dB, and the same margin at sqrt(5) = 2.236 times the distance in free space."""
    low, high = margin(tmp_path, power=10, metres=10), margin(tmp_path, power=50, metres=10)
    assert high.margin_db - low.margin_db == pytest.approx(6.9897, abs=1e-3)
    assert margin(tmp_path, power=50, metres=10 * sqrt(5)).margin_db == pytest.approx(low.margin_db, abs=1e-6)
    assert high.breaks_at_m / low.breaks_at_m == pytest.approx(sqrt(5), abs=1e-9)


def test_it_breaks_where_it_says(tmp_path: Path) -> None:
    found = margin(tmp_path, power=50, metres=10, floor=-92)
    there = margin(tmp_path, power=50, metres=found.breaks_at_m, floor=-92)
    assert there.margin_db == pytest.approx(there.limit_db, abs=1e-6)
    assert there.holds, "exactly on the limit passes"


def test_every_setting_and_the_lowest_that_holds(tmp_path: Path) -> None:
    found = margin(tmp_path, power=50, metres=10, floor=-95)
    assert [each.power_mw for each in found.settings] == [10, 30, 50]
    for each in found.settings:
        assert each.margin_db == pytest.approx(margin(tmp_path, power=each.power_mw, metres=10, floor=-95).margin_db)
    assert found.lowest == next(each for each in found.settings if each.margin_db >= 10)


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    text = PLAN.format(power=30, metres=18, mode="stereo").replace("reach: {p: {farthest_m: 18}}\n", "")
    (found,) = Facts(plan_of(tmp_path, text.replace("scans:", "#")), lambda: None, None).margins
    assert isinstance(found, NoMargin)
    assert set(found.needs) == {"/reach/p/farthest_m", "/scans"}
