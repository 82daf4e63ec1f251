"""Exposure distances against the published limits and formulas."""

import math
from collections.abc import Callable

import pytest

from planlint.rf import decibel, exposure

Published = Callable[[str], list[dict[str, str]]]


def test_reference_levels(published: Published) -> None:
    """47 CFR 1.1310 Table 1: f/1500 and f/300 mW/cm2; ICNIRP 2020: f/200 W/m2; f in MHz."""
    for row in published("reference_levels"):
        found = exposure.reference_level_w_m2(float(row["carrier_mhz"]) * 1e6, row["reference"])
        assert found == pytest.approx(float(row["level_w_m2"]), abs=0.005)
    occupational = exposure.reference_level_w_m2(530e6, "icnirp-occupational")
    assert occupational == pytest.approx(5 * exposure.reference_level_w_m2(530e6, "icnirp-public"))
    with pytest.raises(ValueError, match="carrier_mhz"):
        exposure.reference_level_w_m2(299e6, "fcc-public")
    with pytest.raises(ValueError, match="carrier_mhz"):
        exposure.reference_level_w_m2(2001e6, "icnirp-public")


def test_distances(published: Published) -> None:
    """FCC OET Bulletin 65, S = K EIRP / (4 pi d^2), at 530 MHz (computed)."""
    for row in published("exposure_distance"):
        mw = float(row["power_mw"])
        eirp_mw = decibel.erp_to_eirp_mw(mw) if row["basis"] == "erp" else mw
        found = exposure.exposure_distance(eirp_mw, 530e6, row["reference"], float(row["reflection"]))
        assert 100 * found.formula_m == pytest.approx(float(row["distance_cm"]), abs=0.01), row
        assert found.distance_m == max(found.formula_m, found.far_field_m)
        assert found.reference == exposure.REFERENCES[row["reference"]].name


@pytest.mark.parametrize(("mhz", "centimetres"), [(470, 10.2), (530, 9.0), (608, 7.8)])
def test_far_field_floor(mhz: float, centimetres: float) -> None:
    """Wavelength over 2 pi, 47.7 / f in m: nothing nearer is ever reported."""
    assert 100 * exposure.far_field_m(mhz * 1e6) == pytest.approx(centimetres, abs=0.06)
    assert exposure.far_field_m(mhz * 1e6) == pytest.approx(47.7 / mhz, rel=0.001)
    assert exposure.exposure_distance(0, mhz * 1e6, "fcc-public").distance_m == exposure.far_field_m(mhz * 1e6)


def test_combined_rack() -> None:
    """Eight times 50 mW through 10 dB and 9 dBi at 530 MHz: 8.5, 13.5 and 16.9 cm (computed)."""
    eirp_mw = 8 * 50 * decibel.db_to_ratio(-10 + 9)
    factors = (exposure.FREE_SPACE, exposure.REFLECTING_GROUND, exposure.FULL_REFLECTION)
    for reflection, centimetres in zip(factors, (8.5, 13.5, 16.9), strict=True):
        found = exposure.exposure_distance(eirp_mw, 530e6, "fcc-public", reflection)
        assert 100 * found.formula_m == pytest.approx(centimetres, abs=0.06)
    assert exposure.exposure_distance(eirp_mw, 530e6, "fcc-public").formula_m == pytest.approx(0.135, abs=0.001)


def test_where_the_formula_does_not_apply() -> None:
    """47 CFR 2.1093(b): within 20 cm of the body a unit is judged by absorbed power, not by a distance."""
    assert exposure.formula_applies(0.20, 530e6)
    assert not exposure.formula_applies(0.199, 530e6)
    assert not exposure.formula_applies(0.25, 170e6)  # far field from 28 cm
    assert "SAR" in exposure.BODY_WORN


def test_exempt_power(published: Published) -> None:
    for row in published("fcc_exempt_power"):
        centimetres, ghz, milliwatts = (float(value) for value in row.values())
        found = exposure.fcc_exempt_power_mw(centimetres / 100, ghz * 1e9)
        assert found == pytest.approx(milliwatts, abs=0.01), row
    for row in published("fcc_exempt_distance"):
        milliwatts, ghz, centimetres = (float(value) for value in row.values())
        found = exposure.fcc_exempt_distance_m(milliwatts, ghz * 1e9)
        assert 100 * found == pytest.approx(centimetres, abs=0.001), row


def test_ends_of_the_exemption_by_power() -> None:
    """The rule runs from 0.5 to 40 cm and 0.3 to 6 GHz; 10 mW is exempt from 0.5 cm on (computed)."""
    assert exposure.fcc_exempt_distance_m(10, 530e6) == 0.005
    assert exposure.fcc_exempt_distance_m(5000, 530e6) == math.inf
    assert exposure.fcc_exempt_power_mw(0.2, 1.5e9) == pytest.approx(3060)
    assert exposure.fcc_exempt_power_mw(0.3, 1e9) == exposure.fcc_exempt_power_mw(0.2, 1e9) == 2040
    for distance_m, hertz in ((0.004, 5e8), (0.41, 5e8), (0.1, 2.9e8), (0.1, 6.1e9)):
        with pytest.raises(ValueError, match="must be from"):
            exposure.fcc_exempt_power_mw(distance_m, hertz)
    with pytest.raises(ValueError, match="power_mw"):
        exposure.fcc_exempt_distance_m(0, 5e8)


def test_exempt_erp() -> None:
    """47 CFR 1.1307(b)(3)(i)(C): 0.0128 R^2 f; a copy's example: 5.6832 W at 1 m and 444 MHz."""
    assert exposure.fcc_exempt_erp_mw(1, 444e6) == pytest.approx(5683.2)
    for distance_m, hertz in ((0.09, 444e6), (1, 299e6), (1, 1501e6)):
        with pytest.raises(ValueError, match="must be from"):
            exposure.fcc_exempt_erp_mw(distance_m, hertz)
