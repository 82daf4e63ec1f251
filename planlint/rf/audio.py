"""Audio levels on the way into a transmitter and out of a pack.

Model: static relations only. Butterworth filters, |H|^2 = 1 / (1 + (f / fc)^(2 n)) (S. Butterworth, Wireless
Engineer 7 (1930) 536; from memory, not verified). Line levels: "+4 dBU = 1.228 Volts", "difference of 11.79
dB" to -10 dBV (cinema8.com/glossary/line-level, read in a public copy; exactly 11.78 with sqrt(0.6) V). A
limiter's curve and the linear balance law are definitions; a given unit may follow others.
"""

from __future__ import annotations

import math
from typing import Literal

from planlint.rf.decibel import DBU_REFERENCE_V
from planlint.rf.elementwise import log10, require_positive

PROFESSIONAL_LINE_DBU = 4.0
CONSUMER_LINE_DBV = -10.0

ONE_LEG_DB = 20 * math.log10(2)
"""What a difference input loses when one of two driven legs does not reach it: at most 6.02 dB."""


def dbu_to_dbv(level_dbu: float) -> float:
    """Level in dBu to dBV: 2.2185 dB less."""
    return level_dbu + 20 * log10(DBU_REFERENCE_V)


def dbv_to_dbu(level_dbv: float) -> float:
    """Level in dBV to dBu: 2.2185 dB more."""
    return level_dbv - 20 * log10(DBU_REFERENCE_V)


def filter_gain_db(frequency_hz: float, cutoff_hz: float, order: int, passes: Literal["high", "low"]) -> float:
    """Gain of a Butterworth filter, named for what passes: a low cut passes high.

    Args:
        frequency_hz: Frequency in Hz.
        cutoff_hz: Frequency of -3.01 dB in Hz.
        order: Order, 1 or more: 6.02 dB an octave each.
        passes: Which side passes.

    Returns:
        Gain in dB, 0 or negative.

    Raises:
        ValueError: A frequency is not above 0 or the order is below 1.
    """
    require_positive(frequency_hz=frequency_hz, cutoff_hz=cutoff_hz)
    if order < 1:
        raise ValueError(f"order must be 1 or more, not {order}")
    ratio = cutoff_hz / frequency_hz if passes == "high" else frequency_hz / cutoff_hz
    return -10 * log10(1 + ratio ** (2 * order))


def limited_db(level_db: float, threshold_db: float, ratio: float = math.inf) -> float:
    """Output level of a limiter or compressor.

    Args:
        level_db: Steady input level in dB, a plain number.
        threshold_db: Threshold in dB on the same scale.
        ratio: Input step to output step above it; infinite for a limiter.

    Returns:
        Output level in dB. It caps a level, not what a whole show adds up to.

    Raises:
        ValueError: The ratio is below 1.
    """
    if not ratio >= 1:
        raise ValueError(f"ratio must be 1 or more, not {ratio}")
    return min(level_db, threshold_db + (level_db - threshold_db) / ratio)


def balance_leak_db(balance_pct: float) -> float:
    """Level of the far side in a balance control turned so far, under a linear law.

    Args:
        balance_pct: -100 (left only) to 100 (right only), a plain number.

    Returns:
        Level of the side turned away from, over its level at centre, in dB; minus infinity when fully turned.

    Raises:
        ValueError: The setting is outside -100 to 100.
    """
    if not -100 <= balance_pct <= 100:
        raise ValueError(f"balance must be between -100 and 100 per cent, not {balance_pct}")
    rest = 1 - abs(balance_pct) / 100
    return 20 * math.log10(rest) if rest else -math.inf
