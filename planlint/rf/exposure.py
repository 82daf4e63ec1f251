"""Distances at which the power density of an antenna falls to a published reference level.

Model: S = K EIRP / (4 pi d^2), FCC OET Bulletin 65 with K = 2.56 for a reflecting ground ("2.56 = worst-case
ground reflection", read in a public copy), 1 in free space, 4 for full reflection (from memory, not
verified). It holds in the far field only: nothing nearer than lambda / 2 pi is ever reported.

It does not hold on the body. Nearer than 20 cm the limits are on absorbed power: "portable devices ...
evaluations shall be performed according to the SAR provisions", 47 CFR 1.1310(d)(2), with the boundary of 20
cm in 2.1093(b) (both read in a public copy). For a body-worn unit only the maker's SAR filing says something;
no planner can compute it.

Reference levels, f in MHz, read in public copies: 47 CFR 1.1310 Table 1, 300-1500 MHz, f/1500 and f/300
mW/cm2; ICNIRP 2020, whole body, above 400 to 2000 MHz, f/200 and f/40 W/m2. Exemption: 47 CFR
1.1307(b)(3)(i)(B) and (C). All are estimates with the antenna's full gain and no duty cycle, no assessment;
the licence and local rules come first.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from planlint.rf.elementwise import larger, require_between, require_not_negative, require_positive
from planlint.rf.propagation import wavelength_m

FREE_SPACE = 1.0
REFLECTING_GROUND = 2.56
FULL_REFLECTION = 4.0
BODY_DISTANCE_M = 0.20
BODY_WORN = "on the body no distance applies: absorbed power (SAR) counts, and only the maker's SAR filing states it"


class Reference(NamedTuple):
    """A reference level for power density that grows with the carrier.

    Attributes:
        name: Document and group of people, for print.
        low_mhz: Lower end of its range in MHz, inclusive.
        high_mhz: Upper end in MHz, inclusive.
        mhz_per_w_m2: The level in W/m2 is the carrier in MHz divided by this.
        averaging_min: Averaging time in minutes.
    """

    name: str
    low_mhz: float
    high_mhz: float
    mhz_per_w_m2: float
    averaging_min: float


REFERENCES = {
    "fcc-public": Reference("47 CFR 1.1310, general population", 300, 1500, 150, 30),
    "fcc-occupational": Reference("47 CFR 1.1310, occupational", 300, 1500, 30, 6),
    "icnirp-public": Reference("ICNIRP 2020, general public, whole body", 400, 2000, 200, 30),
    "icnirp-occupational": Reference("ICNIRP 2020, occupational, whole body", 400, 2000, 40, 30),
}


class ExposureDistance(NamedTuple):
    """Distance in m by a named reference.

    `formula_m` is what the formula gives, `far_field_m` the least at which it holds, `distance_m` the larger.
    """

    reference: str
    formula_m: float
    far_field_m: float
    distance_m: float


def reference_level_w_m2(carrier_hz: float, reference: str) -> float:
    """Reference level in W/m2 for a carrier in Hz; KeyError, or ValueError outside the reference's range."""
    rule = REFERENCES[reference]
    mhz = carrier_hz / 1e6
    require_between(rule.low_mhz, rule.high_mhz, carrier_mhz=mhz)
    return mhz / rule.mhz_per_w_m2


def far_field_m(carrier_hz: float) -> float:
    """Distance lambda / 2 pi in m within which the reactive field rules; ValueError unless above 0 Hz."""
    return wavelength_m(carrier_hz) / (2 * math.pi)


def exposure_distance(
    eirp_mw: float, carrier_hz: float, reference: str, reflection: float = REFLECTING_GROUND
) -> ExposureDistance:
    """Distance from an antenna that is not worn at which its field falls to a reference level.

    Args:
        eirp_mw: Radiated power in mW; of several carriers on one antenna, their sum.
        carrier_hz: Carrier in Hz; of several, the lowest.
        reference: A key of `REFERENCES`.
        reflection: Factor on power density, `FREE_SPACE` to `FULL_REFLECTION`.

    Returns:
        Distances in m. Nearer than `BODY_DISTANCE_M` none of them is about a person: see `formula_applies`.

    Raises:
        KeyError: The reference is not known.
        ValueError: A quantity is negative, or the carrier is outside the reference's range.
    """
    require_not_negative(eirp_mw=eirp_mw, reflection=reflection)
    density = reference_level_w_m2(carrier_hz, reference)
    formula = (reflection * eirp_mw / 1000 / (4 * math.pi * density)) ** 0.5
    floor = far_field_m(carrier_hz)
    return ExposureDistance(REFERENCES[reference].name, formula, floor, larger(formula, floor))


def formula_applies(distance_m: float, carrier_hz: float) -> bool:
    """Whether a distance in m is far enough from a person for the formula: 20 cm, and the far field.

    Plain numbers.
    """
    return distance_m >= BODY_DISTANCE_M and distance_m >= far_field_m(carrier_hz)


def fcc_exempt_power_mw(distance_m: float, carrier_hz: float) -> float:
    """Threshold of 47 CFR 1.1307(b)(3)(i)(B), for the available power or the ERP, whichever is greater.

    Args:
        distance_m: Separation in m, 0.005 to 0.40, a plain number.
        carrier_hz: Carrier in Hz, 0.3 to 6 GHz.

    Returns:
        Power in mW up to which the rule asks for no evaluation: "not exemption from general obligations".

    Raises:
        ValueError: Distance or carrier is outside the rule's range.
    """
    require_between(0.005, 0.40, distance_m=distance_m)
    at_20_cm, exponent = _fcc_threshold(carrier_hz)
    return at_20_cm * math.pow(min(distance_m / 0.20, 1.0), exponent)


def fcc_exempt_distance_m(power_mw: float, carrier_hz: float) -> float:
    """Least separation in m at which a power in mW is at the threshold of `fcc_exempt_power_mw`.

    Plain numbers. At least 0.005 m, where the rule begins; infinite for a power above all it exempts.
    ValueError unless the power is above 0 and the carrier within 0.3 to 6 GHz.
    """
    require_positive(power_mw=power_mw)
    at_20_cm, exponent = _fcc_threshold(carrier_hz)
    if power_mw > at_20_cm:
        return math.inf
    return max(0.20 * math.pow(power_mw / at_20_cm, 1 / exponent), 0.005)


def fcc_exempt_erp_mw(distance_m: float, carrier_hz: float) -> float:
    """Threshold of 47 CFR 1.1307(b)(3)(i)(C), 300-1500 MHz: ERP = 0.0128 R^2 f in W.

    Args:
        distance_m: Separation R in m, at least lambda / 2 pi.
        carrier_hz: Carrier in Hz.

    Returns:
        ERP in mW.

    Raises:
        ValueError: Distance or carrier is outside the rule's range.
    """
    mhz = carrier_hz / 1e6
    require_between(300, 1500, carrier_mhz=mhz)
    require_between(far_field_m(carrier_hz), math.inf, distance_m=distance_m)
    return 1000 * 0.0128 * distance_m**2 * mhz


def _fcc_threshold(carrier_hz: float) -> tuple[float, float]:
    """Power in mW at 20 cm and the exponent of distance below it, 47 CFR 1.1307(b)(3)(i)(B)."""
    ghz = carrier_hz / 1e9
    require_between(0.3, 6, carrier_ghz=ghz)
    at_20_cm = 2040 * ghz if ghz < 1.5 else 3060.0
    return at_20_cm, -math.log10(60 / (at_20_cm * math.sqrt(ghz)))
