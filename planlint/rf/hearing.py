"""How loud an earphone can get, and how long the published yardsticks give for a level.

Model of the level: L = S + 10 log10(1000 U^2 / Z) with the sensitivity S in dB SPL for 1 mW and the impedance
Z, both at one frequency (definition; worked example at spuriae.com/calculators/sensitivity-converter, read in
a public copy). One figure for a whole earphone is good to about 6 dB either way, since impedance and
sensitivity vary over frequency and with the fit (from memory, not verified), and it is a level at the eardrum
or coupler, above the diffuse-field level in which the yardsticks are stated. No correction for that is taken
off. An estimate, no assessment: only a probe or an ear simulator measures.

Yardsticks for the allowed time, T = T0 / 2^((L - L0) / q):

- NIOSH 98-126 (1998), 85 dB(A) for 8 h, 3 dB: formula read in a public copy. Its Table 1-1 is the formula
  rounded, but for three rows: 99, 124 and 127 dB(A). No exposure above 140 dB(A): from memory, not verified.
- OSHA 29 CFR 1910.95 Table G-16 and Appendix A (T = 8 / 2^((L - 90) / 5)): read in a public copy. The table
  ends at 115 dB(A), "1/4 or less".
- Directive 2003/10/EC Article 3, exposure action values of 80 and 85 dB(A) and limit value of 87 dB(A), each
  for 8 h: read in a public copy; 3 dB, since L_EX,8h averages energy (ISO 1999). The limit value counts
  behind hearing protection.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from planlint.rf.elementwise import log10, require_not_negative, require_positive

if TYPE_CHECKING:
    from collections.abc import Iterable

UNCERTAINTY_DB = 6.0
PEAK_REFERENCE_PA = 20e-6


class Yardstick(NamedTuple):
    """A published relation between level and allowed time.

    Attributes:
        name: Document and value, for print.
        level_dba: The level in dB(A) that the full time goes with.
        time_h: The full time in hours.
        exchange_db: The step in dB that halves the time.
        ceiling_dba: The level in dB(A) above which it allows no time; infinite where it states none.
    """

    name: str
    level_dba: float
    time_h: float
    exchange_db: float
    ceiling_dba: float


YARDSTICKS = {
    "niosh": Yardstick("NIOSH 98-126", 85.0, 8.0, 3.0, 140.0),
    "osha": Yardstick("OSHA 29 CFR 1910.95 Table G-16", 90.0, 8.0, 5.0, 115.0),
    "eu-lower": Yardstick("2003/10/EC lower action value", 80.0, 8.0, 3.0, math.inf),
    "eu-upper": Yardstick("2003/10/EC upper action value", 85.0, 8.0, 3.0, math.inf),
    "eu-limit": Yardstick("2003/10/EC limit value", 87.0, 8.0, 3.0, math.inf),
}


class AllowedTime(NamedTuple):
    """Allowed time in hours by a named yardstick, and the range that the uncertainty of the level leaves."""

    yardstick: str
    time_h: float
    least_h: float
    most_h: float
    uncertainty_db: float


def earphone_level_db_spl(output_dbv: float, impedance_ohm: float, sensitivity_db_spl_per_mw: float) -> float:
    """Sound pressure level of an earphone fed with a voltage.

    Args:
        output_dbv: Voltage at the earphone in dBV rms.
        impedance_ohm: Its impedance in ohm.
        sensitivity_db_spl_per_mw: Its level for 1 mW in dB SPL.

    Returns:
        Level in dB SPL, not weighted, good to `UNCERTAINTY_DB`.

    Raises:
        ValueError: The impedance is not above 0.
    """
    require_positive(impedance_ohm=impedance_ohm)
    return sensitivity_db_spl_per_mw + output_dbv + 10 * log10(1000 / impedance_ohm)


def ceiling_db_spl(
    max_output_dbv: float, limiter_db: float, impedance_ohm: float, sensitivity_db_spl_per_mw: float
) -> float:
    """Highest level in dB SPL that a limiter lets through; 0 dB on it is the pack's highest output.

    Args:
        max_output_dbv: Highest output of the pack in dBV rms.
        limiter_db: Limiter setting counted from that output, in dB, 0 or negative.
        impedance_ohm: Impedance of the earphone in ohm.
        sensitivity_db_spl_per_mw: Level of the earphone for 1 mW in dB SPL.

    Returns:
        Level in dB SPL, good to `UNCERTAINTY_DB`. A limiter caps peaks, not what a whole show adds up to.

    Raises:
        ValueError: The impedance is not above 0.
    """
    return earphone_level_db_spl(max_output_dbv + limiter_db, impedance_ohm, sensitivity_db_spl_per_mw)


def source_loss_db(source_ohm: float, impedance_ohm: float) -> float:
    """Loss in dB of voltage at an earphone behind an output impedance; ValueError if negative or no load."""
    require_not_negative(source_ohm=source_ohm)
    require_positive(impedance_ohm=impedance_ohm)
    return 20 * log10((source_ohm + impedance_ohm) / impedance_ohm)


def output_for_level_dbv(level_db_spl: float, impedance_ohm: float, sensitivity_db_spl_per_mw: float) -> float:
    """Voltage in dBV that gives a level in dB SPL: the inverse of `earphone_level_db_spl`."""
    return level_db_spl - earphone_level_db_spl(0.0, impedance_ohm, sensitivity_db_spl_per_mw)


def allowed_h(level_dba: float, yardstick: Yardstick) -> float:
    """Hours a yardstick allows at one level in dB(A), a plain number; 0 above its ceiling."""
    if level_dba > yardstick.ceiling_dba:
        return 0.0
    return yardstick.time_h / math.exp2((level_dba - yardstick.level_dba) / yardstick.exchange_db)


def allowed_time(level_dba: float, yardstick: str, uncertainty_db: float = UNCERTAINTY_DB) -> AllowedTime:
    """Allowed time at a level, with the yardstick's name and the range its uncertainty leaves.

    Args:
        level_dba: Level in dB(A), a plain number.
        yardstick: A key of `YARDSTICKS`.
        uncertainty_db: How far the level may be off either way, in dB.

    Returns:
        Times in hours; 0 where the level is above all the yardstick allows.

    Raises:
        KeyError: The yardstick is not known.
    """
    rule = YARDSTICKS[yardstick]
    return AllowedTime(
        rule.name,
        allowed_h(level_dba, rule),
        allowed_h(level_dba + uncertainty_db, rule),
        allowed_h(level_dba - uncertainty_db, rule),
        uncertainty_db,
    )


def dose_pct(exposures: Iterable[tuple[float, float]], yardstick: str) -> float:
    """Noise dose in per cent of several (level in dB(A), hours): 100 x sum of C / T; KeyError as above.

    The yardstick's ceiling is no part of a dose: the time at every level counts by the formula.
    """
    rule = YARDSTICKS[yardstick]._replace(ceiling_dba=math.inf)
    return 100 * sum(hours / allowed_h(level, rule) for level, hours in exposures)


def average_dba(dose_pct: float, yardstick: str) -> float:
    """Level in dB(A) that gives a dose in per cent over the full time: exactly, q log2(D / 100) + L0.

    NIOSH prints the factor as 10 for 3 / log10(2) = 9.966, OSHA as 16.61 for 5 / log10(2) = 16.6096.
    ValueError for a dose not above 0; KeyError as above.
    """
    require_positive(dose_pct=dose_pct)
    rule = YARDSTICKS[yardstick]
    return rule.level_dba + rule.exchange_db / math.log10(2) * math.log10(dose_pct / 100)


def peak_db(pressure_pa: float) -> float:
    """Peak pressure in Pa as a level in dB over 20 uPa (dB(C) if C-weighted); ValueError unless above 0."""
    require_positive(pressure_pa=pressure_pa)
    return 20 * log10(pressure_pa / PEAK_REFERENCE_PA)
