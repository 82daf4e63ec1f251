"""Units, propagation, noise, chain, cables and fading against published and computed values."""

import importlib
import warnings
from collections.abc import Callable
from typing import Any

import pytest

from planlint.rf import chain, coax, decibel, fading, isolation, noise, propagation, splitter

Published = Callable[[str], list[dict[str, str]]]


def numbers(row: dict[str, str], *names: str) -> list[float]:
    return [float(row[name]) for name in names]


def test_power(published: Published) -> None:
    for row in published("power"):
        mw, dbm = numbers(row, "power_mw", "level_dbm")
        assert decibel.mw_to_dbm(mw) == pytest.approx(dbm, abs=0.005)
        assert decibel.dbm_to_mw(decibel.mw_to_dbm(mw)) == pytest.approx(mw, rel=1e-12)
    assert decibel.db_to_ratio(decibel.ratio_to_db(2)) == pytest.approx(2)
    assert decibel.mw_to_dbm(50) - decibel.mw_to_dbm(10) == pytest.approx(6.99, abs=0.001)


def test_radiated_power() -> None:
    """telecomabc.com: ERP = EIRP / 1.64 = EIRP - 2.15 dB: 50 mW ERP is 82 mW EIRP, 250 mW is 410 mW."""
    assert decibel.erp_to_eirp_mw(50) == pytest.approx(82.0, rel=1e-3)
    assert decibel.erp_to_eirp_mw(250) == pytest.approx(410, rel=1e-3)
    assert decibel.eirp_to_erp_mw(decibel.erp_to_eirp_mw(7)) == pytest.approx(7)
    assert decibel.dbd_to_dbi(0) == 2.15
    assert decibel.dbi_to_dbd(8.15) == pytest.approx(6)


def test_sum_of_powers() -> None:
    assert decibel.sum_dbm([-90, -90]) == pytest.approx(-86.99, abs=0.005)
    assert decibel.sum_dbm([-60, -100]) == pytest.approx(-59.9996, abs=1e-4)
    with pytest.raises(ValueError, match="more than 0"):
        decibel.sum_dbm([])


def test_volts_at_the_antenna() -> None:
    """0 dBm in 50 ohm is 223.6 mV, 106.99 dBuV."""
    assert decibel.dbm_to_dbuv(0) == pytest.approx(106.99, abs=0.005)
    assert decibel.volts_to_dbv(0.2236) + 120 == pytest.approx(106.99, abs=0.005)


def test_free_space_loss(published: Published) -> None:
    for row in published("free_space_loss"):
        metres, mhz, loss = numbers(row, "distance_m", "carrier_mhz", "loss_db")
        assert propagation.free_space_loss_db(metres, mhz * 1e6) == pytest.approx(loss, abs=0.001)
        assert propagation.free_space_distance_m(loss, mhz * 1e6) == pytest.approx(metres, rel=1e-4)


@pytest.fixture(scope="module")
def pycraf() -> tuple[Any, Any]:
    """The conversions of pycraf and the units of astropy, a deprecated part of which pycraf imports."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="The TestRunner")
        return importlib.import_module("pycraf.conversions"), importlib.import_module("astropy.units")


@pytest.mark.parametrize("metres", [0.5, 3.0, 18.0, 100.0, 5000.0])
@pytest.mark.parametrize("mhz", [174.0, 470.0, 608.0, 1880.0])
def test_free_space_loss_in_a_general_library(pycraf: tuple[Any, Any], metres: float, mhz: float) -> None:
    """pycraf, conversions.free_space_loss: a radio astronomers' library, as second opinion."""
    conversions, units = pycraf
    theirs = conversions.free_space_loss(metres * units.m, mhz * units.MHz).to_value(conversions.dB)
    assert propagation.free_space_loss_db(metres, mhz * 1e6) == pytest.approx(-theirs, abs=1e-6)


def test_free_space_loss_in_the_printed_form() -> None:
    """ITU-R P.525-5 prints L = 32.4 + 20 log f + 20 log d, rounded: 0.048 dB under the exact constant."""
    printed = 32.4 + 20 * 2.72427587 + 20 * -2.0  # 530 MHz, 10 m
    assert propagation.free_space_loss_db(10, 530e6) - printed == pytest.approx(0.048, abs=0.001)


def test_wavelength(published: Published) -> None:
    for row in published("quarter_wave"):
        mhz, centimetres = numbers(row, "carrier_mhz", "length_cm")
        assert 25 * propagation.wavelength_m(mhz * 1e6) == pytest.approx(centimetres, abs=0.006)


def test_reach_of_a_power_setting() -> None:
    """10 to 50 mW: sqrt(5) times as far in free space, about 1.6 times indoors (exponent 3.5)."""
    step = decibel.mw_to_dbm(50) - decibel.mw_to_dbm(10)
    assert propagation.reach_factor(step) == pytest.approx(5**0.5)
    assert propagation.reach_factor(step, 3.5) == pytest.approx(1.58, abs=0.01)


def test_vertical_isolation(published: Published) -> None:
    wavelength = propagation.wavelength_m(530e6)
    for row in published("isolation_vertical"):
        wavelengths, isolation_db = numbers(row, "wavelengths", "isolation_db")
        found = isolation.vertical_isolation_db(wavelengths * wavelength, 530e6)
        assert found == pytest.approx(isolation_db, abs=0.51)  # the table is in whole dB
    assert isolation.vertical_isolation_db(1, 530e6) == pytest.approx(37.9, abs=0.05)
    assert isolation.vertical_isolation_db(0.01, 530e6) == 0


@pytest.mark.parametrize(("metres", "loss"), [(1, 26.9), (2, 33.0), (3, 36.5), (5, 40.9)])
def test_horizontal_isolation(metres: float, loss: float) -> None:
    """Computed for 530 MHz and no gain; it is the free-space loss, since 22 stands for 20 log10(4 pi)."""
    assert isolation.horizontal_isolation_db(metres, 530e6) == pytest.approx(loss, abs=0.05)
    assert isolation.horizontal_isolation_db(metres, 530e6, 6, 2.15) == pytest.approx(loss - 8.15, abs=0.05)
    assert isolation.horizontal_isolation_db(0.01, 530e6) == 0


def test_thermal_noise(published: Published) -> None:
    for row in published("thermal_noise"):
        hertz, dbm = numbers(row, "bandwidth_hz", "noise_dbm")
        assert noise.thermal_noise_dbm(hertz) == pytest.approx(dbm, abs=0.001)
    assert noise.noise_floor_dbm(200e3, 4) == pytest.approx(-117, abs=0.05)  # published with -121 dBm


def test_cascaded_noise_figure() -> None:
    """10 dB of cable before 6 dB is 16 dB; 3 dB and +10 dB at the antenna make it 7.69 dB (computed)."""
    receiver = noise.Stage(20, 6)
    assert noise.cascade_noise_figure_db([noise.loss(10), receiver]) == pytest.approx(16.0)
    masthead = noise.Stage(10, 3)
    assert noise.cascade_noise_figure_db([masthead, noise.loss(10), receiver]) == pytest.approx(7.69, abs=0.005)
    assert noise.cascade_noise_figure_db([]) == 0


def test_chain() -> None:
    """50 mW ERP is 17 + 2.15 dBm EIRP; conducted power loses the combiner and coax and gains the antenna."""
    assert chain.eirp_dbm(50, "eirp") == pytest.approx(16.99, abs=0.005)
    assert chain.eirp_dbm(50, "erp") == pytest.approx(19.14, abs=0.005)
    assert chain.eirp_dbm(50, "conducted", loss_db=10, gain_dbi=9) == pytest.approx(15.99, abs=0.005)
    # eight of these through 10 dB and 9 dBi: 318 mW EIRP together (computed)
    assert 8 * decibel.dbm_to_mw(chain.eirp_dbm(50, "conducted", 10, 9)) == pytest.approx(318, abs=0.5)
    with pytest.raises(ValueError, match="own antenna"):
        chain.eirp_dbm(50, "erp", loss_db=1)
    with pytest.raises(ValueError, match="own antenna"):
        chain.eirp_dbm(50, "eirp", gain_dbi=1)


def test_link_budget_example() -> None:
    """50 mW, 30 m, 530 MHz, body 15, cable 3, 2.15 dBi, NF 6: -55.3 over -115.0 dBm (computed)."""
    path = propagation.free_space_loss_db(30, 530e6)
    received = chain.received_dbm(chain.eirp_dbm(50, "eirp"), path, 15, 2.15, 3)
    assert received == pytest.approx(-55.3, abs=0.05)
    assert received - noise.noise_floor_dbm(200e3, 6) == pytest.approx(59.6, abs=0.05)


def test_rule_of_thumb_level() -> None:
    """30 mW EIRP at 18 m behind 20 dB of body is -56.8 dBm at mid band (common practice, computed)."""
    path = propagation.free_space_loss_db(18, 510e6)
    received = chain.received_dbm(chain.eirp_dbm(30, "eirp"), path, 20, 0, 0)
    assert received == pytest.approx(-56.8, abs=0.2)


def test_coax(published: Published) -> None:
    for row in published("coax"):
        mhz, loss = numbers(row, "carrier_mhz", "loss_db_per_100_m")
        assert coax.coax_loss_db(row["kind"], 100, mhz * 1e6) == pytest.approx(loss, rel=0.02), row


def test_coax_at_its_published_points(published: Published) -> None:
    for row in published("coax_points"):
        mhz, loss = numbers(row, "carrier_mhz", "loss_db_per_100_ft")
        tolerance = 1e-9 if row["source"] != "measured; towertalk 2010-02" else 0.15
        found = coax.coax_loss_db(row["kind"], 30.48, mhz * 1e6)
        assert found == pytest.approx(loss, rel=tolerance), row


def test_coax_runs_of_a_stage() -> None:
    """10 m at 530 MHz: 3.6, 1.7 and 1.0 dB (computed)."""
    kinds = {"rg-58": 3.6, "rg-213": 1.7, "low-loss-10mm": 1.0}
    for kind, loss in kinds.items():
        assert coax.coax_loss_db(kind, 10, 530e6) == pytest.approx(loss, abs=0.05)
    with pytest.raises(KeyError):
        coax.coax_loss_db("bell wire", 10, 530e6)
    with pytest.raises(ValueError, match="length_m"):
        coax.coax_loss_db("rg-58", -1, 530e6)


def test_split(published: Published) -> None:
    for row in published("split"):
        ways, loss = numbers(row, "ways", "loss_db")
        assert splitter.split_loss_db(int(ways)) == pytest.approx(loss, abs=0.0006)
    assert splitter.split_loss_db(8, splitter.TYPICAL_EXCESS_DB) == pytest.approx(9.53, abs=0.005)
    assert splitter.resistive_split_loss_db(2) == pytest.approx(6.02, abs=0.001)
    assert splitter.split_loss_db(1) == 0
    with pytest.raises(ValueError, match="ways"):
        splitter.split_loss_db(0)


def test_rayleigh(published: Published) -> None:
    for row in published("rayleigh"):
        outage, branches, margin = numbers(row, "outage", "branches", "margin_db")
        assert fading.rayleigh_margin_db(outage, int(branches)) == pytest.approx(margin, abs=0.01)
        assert fading.rayleigh_outage(margin, int(branches)) == pytest.approx(outage, rel=0.005)


def test_rayleigh_outage_in_a_textbook_page() -> None:
    """diversitychapter4.netlify.app: 10 dB below the mean, 9.5 % for one antenna, 0.008 % for four."""
    assert fading.rayleigh_outage(10) == pytest.approx(0.09516, abs=1e-5)
    assert fading.rayleigh_outage(10, 4) == pytest.approx(8.2e-5, abs=1e-6)
    for bad in (0, -1):
        with pytest.raises(ValueError, match="branches"):
            fading.rayleigh_outage(10, bad)
    for share in (0.0, 1.0, -0.1, 1.5):
        with pytest.raises(ValueError):
            fading.rayleigh_margin_db(share)


def test_diversity_spacing() -> None:
    """First zero of J0(2 pi d / lambda): 21.7 cm at 530 MHz, 24.4 cm at 470 MHz (computed)."""
    assert fading.unrelated_spacing_m(530e6) == pytest.approx(0.217, abs=0.001)
    assert fading.unrelated_spacing_m(470e6) == pytest.approx(0.244, abs=0.001)
    assert pytest.approx(0.3827, abs=5e-5) == fading.FIELDS_UNRELATED_WAVELENGTHS
