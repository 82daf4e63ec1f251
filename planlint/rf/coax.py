"""Loss of coaxial cable by generic type.

Model: matched loss A = k1 sqrt(f) + k2 f (conductor and dielectric loss), fitted through the published points
below. Values between and beyond the points are interpolated: a generic number names a size and not a make,
and cables sold under it differ by the tolerance given. Measure the cable, or write its loss.

Points in dB per 100 ft. 30 and 150 MHz: arrl.org, Chapter 6 Antennas (read in a public copy). 450 MHz, and
150 MHz of low-loss-10mm: scc-ares-races.org cable page (read in a public copy). foam-6mm at 150 MHz and the
meaning of the rg-223 figure (the largest at 750 MHz): from memory, not verified. Tolerances: the spread
between these sources, a MIL-C-17 limit and a measurement quoted on a mailing list.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from planlint.rf.elementwise import require_not_negative, require_positive

METRES_PER_100_FT = 30.48


class Cable(NamedTuple):
    """One generic type: (MHz, dB per 100 ft) at one point or two, and how far makes differ in per cent."""

    points: tuple[tuple[float, float], ...]
    tolerance_pct: float


CABLES = {
    "rg-174": Cable(((30, 4.56), (150, 10.3)), 25),
    "rg-58": Cable(((30, 2.47), (150, 5.63)), 25),
    "rg-223": Cable(((750, 11.461),), 25),
    "rg-8x": Cable(((150, 4.53), (450, 8.6)), 25),
    "rg-213": Cable(((30, 1.08), (150, 2.53)), 15),
    "foam-6mm": Cable(((150, 3.0), (450, 5.3)), 15),
    "low-loss-10mm": Cable(((150, 1.5), (450, 2.7)), 15),
}


def coax_loss_db(kind: str, length_m: float, carrier_hz: float) -> float:
    """Matched loss of a run of cable, without its connectors.

    Args:
        kind: A key of `CABLES`.
        length_m: Length in m.
        carrier_hz: Carrier in Hz.

    Returns:
        Loss in dB, good to the cable's `tolerance_pct`.

    Raises:
        KeyError: The kind is not known.
        ValueError: The length is negative or the carrier not above 0.
    """
    require_not_negative(length_m=length_m)
    require_positive(carrier_hz=carrier_hz)
    root, linear = _coefficients(CABLES[kind])
    mhz = carrier_hz / 1e6
    loss_db: float = (root * mhz**0.5 + linear * mhz) * length_m / METRES_PER_100_FT
    return loss_db


def _coefficients(cable: Cable) -> tuple[float, float]:
    """Solve k1 sqrt(f) + k2 f through the points; with one point all loss is the conductor's."""
    mhz, loss_db = cable.points[0]
    if len(cable.points) == 1:
        return loss_db / math.sqrt(mhz), 0.0
    other_mhz, other_db = cable.points[1]
    slope = (other_db / math.sqrt(other_mhz) - loss_db / math.sqrt(mhz)) / (math.sqrt(other_mhz) - math.sqrt(mhz))
    return loss_db / math.sqrt(mhz) - slope * math.sqrt(mhz), slope
