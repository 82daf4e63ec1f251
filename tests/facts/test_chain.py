"""Chains from socket to air, against closed forms and sums done by hand.

Sources: combiner losses are 10 log10(ways), 3.01, 6.02 and 9.03 dB, half the power for each doubling of the ways
(closed form; "Every stage drops the signal by -3.02 dB ideally", microwaves101.com, corporate power dividers, rounded
there). dBi is dBd + 2.15 and "ERP = EIRP/1,64 = EIRPdB - 2,15 dB" (telecomabc.com/e/erp.html). Decibels of a power: IEC
60027-3 (from memory, not verified), and astropy's logarithmic units as a second opinion.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from planlint.facts.chain import Levels, Span, levels, parts, pass_bands
from planlint.facts.route import Route, plugged_in, route, way_out
from planlint.plan import Plan
from planlint.rf.chain import Basis
from planlint.rf.decibel import dbm_to_mw
from tests.plans import plan_of

CARRIER_HZ = 505_300_000
MODELS = """plan_format: 1
kind: plan
models:
  tx: {role: ear-transmitter}
  tx-own: {role: ear-transmitter, own_antenna_gain_dbi: 2.15}
  rx: {role: mic-receiver}
  hand: {role: mic-transmitter, own_antenna_gain_dbi: -3}
  active-8: {role: combiner, active: true, ways: 8, loss_db: 0.0}
  passive-2: {role: combiner, active: false, ways: 2, loss_db: 3.01}
  passive-4: {role: combiner, active: false, ways: 4, loss_db: 6.02}
  passive-8: {role: combiner, active: false, ways: 8, loss_db: 9.03}
  passive-x: {role: combiner, active: false, ways: 4}
  active-x: {role: combiner, active: true, ways: 4}
  splitter-4: {role: splitter, ways: 4, passband_mhz: {low: 470.000, high: 608.000}}
"""


def plan(folder: Path, text: str) -> Plan:
    return plan_of(folder, MODELS + text)


def sent(found: Plan, power_mw: float, basis: Basis = "conducted", device: str = "TX-1") -> Levels:
    unit = found.devices[device]
    out = way_out(found, unit, "ear")
    assert out.needs == ()
    return levels(unit, parts(found, out, CARRIER_HZ), power_mw, basis)


def mw(level: Span) -> float:
    assert level.known
    return dbm_to_mw(level.low)


@pytest.mark.parametrize(("model", "left_of_10_mw"), [("passive-2", 5.0), ("passive-4", 2.5), ("passive-8", 1.25)])
def test_a_passive_combiner_halves_the_power_with_each_doubling_of_its_ways(
    model: str, left_of_10_mw: float, tmp_path: Path
) -> None:
    found = plan(
        tmp_path,
        f"devices: {{TX-1: {{model: tx, into: C}}, C: {{model: {model}}}}}\n"
        "antennas: {a: {through: C, coax: {loss_db: 0}, gain_dbi: 0}}\n",
    )
    assert mw(sent(found, 10).eirp) == pytest.approx(left_of_10_mw, rel=0.001)


def test_the_sum_of_a_whole_chain(tmp_path: Path) -> None:
    """30 mW is 14.77 dBm; less 1.2 dB of coax, plus 6 dBi: 19.57 dBm, 90.6 mW EIRP; 17.42 dBm, 55.2 mW ERP."""
    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: C}, C: {model: active-8}}\n"
        "antennas: {a: {through: C, coax: {loss_db: 1.2}, gain_dbi: 6}}\n",
    )
    out = sent(found, 30)
    assert out.eirp.low == pytest.approx(19.57, abs=0.005)
    assert mw(out.at("eirp")) == pytest.approx(90.6, abs=0.05)
    assert mw(out.at("erp")) == pytest.approx(55.2, abs=0.05)
    assert mw(out.at("conducted")) == pytest.approx(30)


def test_thirty_milliwatts_into_a_half_wave_dipole(tmp_path: Path) -> None:
    """30 mW x 1.64 is 49.2 mW EIRP, and 30 mW ERP by the meaning of ERP."""
    found = plan(
        tmp_path, "devices: {TX-1: {model: tx, into: a}}\nantennas: {a: {coax: {loss_db: 0}, gain_dbi: 2.15}}\n"
    )
    out = sent(found, 30)
    assert mw(out.at("eirp")) == pytest.approx(30 * 1.64, abs=0.05)
    assert mw(out.at("erp")) == pytest.approx(30)


def test_an_eight_way_combiner_and_a_nine_decibel_antenna_nearly_cancel(tmp_path: Path) -> None:
    """50 mW (16.99 dBm) less 9.03 dB plus 9 dBi is 16.96 dBm, 49.7 mW."""
    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: C}, C: {model: passive-8}}\n"
        "antennas: {a: {through: C, coax: {loss_db: 0}, gain_dbi: 9}}\n",
    )
    assert mw(sent(found, 50).eirp) == pytest.approx(49.7, abs=0.05)


@pytest.mark.parametrize(("erp_mw", "eirp_mw"), [(50, 82.0), (250, 410)])
def test_a_power_rated_as_erp(erp_mw: float, eirp_mw: float, tmp_path: Path) -> None:
    found = plan(tmp_path, "devices: {TX-1: {model: tx-own, into: none}}\n")
    out = sent(found, erp_mw, "erp")
    assert mw(out.at("eirp")) == pytest.approx(eirp_mw, rel=0.001)
    assert mw(out.at("erp")) == pytest.approx(erp_mw)
    assert mw(out.at("conducted")) == pytest.approx(erp_mw), "its own antenna is a dipole"


def test_a_rated_unit_on_another_antenna_loses_its_own_gain_first(tmp_path: Path) -> None:
    """49.2 mW EIRP from a dipole (2.15 dBi) is 30 mW at the socket; into 6 dBi less 1.2 dB, 90.6 mW EIRP."""
    found = plan(
        tmp_path, "devices: {TX-1: {model: tx-own, into: a}}\nantennas: {a: {coax: {loss_db: 1.2}, gain_dbi: 6}}\n"
    )
    out = sent(found, 49.22, "eirp")
    assert mw(out.at("conducted")) == pytest.approx(30, rel=0.001)
    assert mw(out.at("eirp")) == pytest.approx(90.6, rel=0.001)


def test_agrees_with_a_general_library(tmp_path: Path) -> None:
    from astropy import units  # type: ignore[import-untyped, unused-ignore]

    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: C}, C: {model: passive-4}}\n"
        "antennas: {a: {through: C, coax: {loss_db: 0.7}, amplifier_db: 3, gain_dbi: 7.5}}\n",
    )
    level = (25 * units.mW).to(units.dB(units.mW)) - 6.02 * units.dB - 0.7 * units.dB + 3 * units.dB + 7.5 * units.dB
    assert mw(sent(found, 25).eirp) == pytest.approx(level.to(units.mW).value)


def test_what_is_not_written_is_kept_within_what_physics_allows(tmp_path: Path) -> None:
    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: C}, C: {model: passive-x}, TX-2: {model: tx, into: D}, D: {model: active-x},\n"
        "          TX-3: {model: tx, into: none}}\n"
        "antennas: {a: {through: C, gain_dbi: 6}, b: {through: D, coax: {loss_db: 1}, gain_dbi: 6}}\n",
    )
    passive = sent(found, 10)
    assert passive.eirp == Span(-math.inf, 16.0)
    assert passive.eirp_needs == ("/models/passive-x/loss_db", "/antennas/a/coax/loss_db")
    assert passive.conducted == Span(10.0, 10.0), "no more than at the socket, and that is known"
    assert passive.conducted_needs == ()
    active = sent(found, 10, device="TX-2")
    assert active.eirp == Span(-math.inf, math.inf)
    assert active.conducted == Span(10.0, math.inf)
    whip = sent(found, 10, device="TX-3")
    assert whip.eirp == Span(-math.inf, math.inf)
    assert whip.eirp_needs == ("/models/tx/own_antenna_gain_dbi",)
    assert whip.conducted == Span(10.0, 10.0)


def test_coax_by_kind_and_length_is_known_within_its_tolerance(tmp_path: Path) -> None:
    """Low-loss 10 mm: 2.7 dB for 100 ft (30.48 m) at 450 MHz, 15 % either way (scc-ares-races.org cable page)."""
    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: a}}\n"
        "antennas: {a: {coax: {kind: low-loss-10mm, length_m: 30.48}, gain_dbi: 0}}\n",
    )
    unit = found.devices["TX-1"]
    chain = parts(found, way_out(found, unit, "ear"), 450_000_000)
    out = levels(unit, chain, 1, "conducted")
    assert out.eirp.low == pytest.approx(-2.7 * 1.15)
    assert out.eirp.high == pytest.approx(-2.7 * 0.85)
    assert out.eirp_needs == ("/antennas/a/coax/loss_db",)


RACK = """racks: {A: {holds: [TX-1, TX-2, RX-1, C, S%s]}}
devices:
  TX-1: {model: tx}
  TX-2: {model: tx, into: none}
  RX-1: {model: rx}
  HH-1: {model: hand}
  C: {model: active-8}
  S: {model: splitter-4}
%santennas:
  ear-out: {for: ear, through: C}
  mic-a: {for: mic, through: S, passband_mhz: {low: 470.000, high: 700.000}}
  mic-b: {for: mic, through: S}
"""


def test_an_unwritten_into_is_the_racks_only_combiner_or_splitter(tmp_path: Path) -> None:
    found = plan(tmp_path, RACK % ("", ""))
    assert route(found, found.devices["TX-1"], "out", "ear") == Route("TX-1", ("C",), ("ear-out",))
    assert route(found, found.devices["TX-2"], "out", "ear") == Route("TX-2")
    assert route(found, found.devices["RX-1"], "in", "mic") == Route("RX-1", ("S",), ("mic-a", "mic-b"))
    assert route(found, found.devices["HH-1"], "out", "mic") == Route("HH-1"), "it is worn or held"
    assert plugged_in(found, "C") == ("TX-1",)
    assert plugged_in(found, "S") == ("RX-1",)


def test_with_two_combiners_it_is_not_known(tmp_path: Path) -> None:
    found = plan(tmp_path, RACK % (", D", "  D: {model: passive-2}\n"))
    assert route(found, found.devices["TX-1"], "out", "ear").needs == ("/devices/TX-1/into",)


def test_two_antennas_on_one_transmitter_are_not_known(tmp_path: Path) -> None:
    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: C}, C: {model: active-8}}\nantennas: {a: {through: C}, b: {through: C}}\n",
    )
    assert way_out(found, found.devices["TX-1"], "ear").needs == ("/antennas/a/for", "/antennas/b/for")


def test_combiners_in_a_row_and_in_a_ring(tmp_path: Path) -> None:
    found = plan(
        tmp_path,
        "devices:\n  TX-1: {model: tx, into: C}\n  C: {model: passive-2, into: D}\n  D: {model: passive-4, into: a}\n"
        "  TX-2: {model: tx, into: E}\n  E: {model: passive-2, into: F}\n  F: {model: passive-2, into: E}\n"
        "antennas: {a: {coax: {loss_db: 0}, gain_dbi: 0}}\n",
    )
    assert mw(sent(found, 8).eirp) == pytest.approx(1, rel=0.001), "half, and a quarter of that"
    assert way_out(found, found.devices["TX-2"], "ear").needs == ("/devices/F/into",)
    assert plugged_in(found, "D") == ("C",)


def test_an_antenna_names_what_it_is_fed_through(tmp_path: Path) -> None:
    found = plan(
        tmp_path,
        "devices: {TX-1: {model: tx, into: a}, C: {model: passive-2}}\nantennas: {a: {through: C, gain_dbi: 0}}\n",
    )
    assert route(found, found.devices["TX-1"], "out", "ear") == Route("TX-1", ("C",), ("a",))
    assert plugged_in(found, "C") == ("TX-1",)


def test_pass_bands_of_every_part(tmp_path: Path) -> None:
    found = plan(tmp_path, RACK % ("", ""))
    bands = list(pass_bands(found, route(found, found.devices["RX-1"], "in", "mic")))
    assert bands == [
        ("S", (470_000_000, 608_000_000), "/models/splitter-4/passband_mhz"),
        ("mic-a", (470_000_000, 700_000_000), "/antennas/mic-a/passband_mhz"),
        ("mic-b", None, "/antennas/mic-b/passband_mhz"),
    ]
