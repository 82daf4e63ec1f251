"""Isolation between two antennas of one installation.

Model: beside each other, I = 22 + 20 log10(d / lambda) - (G1 + G2), which is the free-space loss less the
gains (22 stands for 20 log10(4 pi) = 21.98, kept exactly here); above each other on one vertical line, I = 28
+ 40 log10(d / lambda). Table of the second for 1 to 20 wavelengths:
scarcs.ca/blog/2025-02-03/antenna_isolation (read in a public copy). Far field only, d above one wavelength;
metal and people nearby change it by many dB.
"""

from __future__ import annotations

from planlint.rf.elementwise import larger, log10, require_positive
from planlint.rf.propagation import free_space_loss_db, wavelength_m


def horizontal_isolation_db(
    distance_m: float, carrier_hz: float, gain_dbi: float = 0.0, other_gain_dbi: float = 0.0
) -> float:
    """Isolation in dB of antennas beside each other.

    Args:
        distance_m: Distance in m.
        carrier_hz: Carrier in Hz.
        gain_dbi: Gain of one antenna towards the other in dBi.
        other_gain_dbi: Gain of the other towards the first in dBi.

    Returns:
        Isolation in dB, never below 0: so near, the model no longer holds.

    Raises:
        ValueError: Distance or carrier is not above 0.
    """
    return larger(free_space_loss_db(distance_m, carrier_hz) - gain_dbi - other_gain_dbi, 0.0)


def vertical_isolation_db(distance_m: float, carrier_hz: float) -> float:
    """Isolation in dB of antennas one above the other, at least 0; ValueError unless both are above 0."""
    require_positive(distance_m=distance_m)
    return larger(28 + 40 * log10(distance_m / wavelength_m(carrier_hz)), 0.0)
