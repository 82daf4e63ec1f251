"""Fade margins where the path is blocked and only reflections arrive.

Model: Rayleigh fading; the power of a branch is exponentially distributed, so a level m dB below the mean is
undercut for the share p = 1 - exp(-10^(-m/10)) of places. Selection of the best of n unrelated branches: p^n.
"At -10 dB SNR, a single antenna fails ~9.5% ... With 4 antennas ... ~0.008%" (diversitychapter4.netlify.app,
read in a public copy).

Antennas of one receiver must stand apart for branches to be unrelated. With waves from all round the
correlation of the fields is J0(2 pi d / lambda), first zero at 0.3827 wavelengths (R. H. Clarke, Bell System
Technical Journal 47 (1968) 957; from memory, not verified; the zero is computed).
"""

from __future__ import annotations

import math

from planlint.rf.elementwise import expm1, log1p, log10, power_of_ten
from planlint.rf.propagation import wavelength_m

FIELDS_UNRELATED_WAVELENGTHS = 2.404825557695773 / (2 * math.pi)  # first zero of J0


def rayleigh_outage(margin_db: float, branches: int = 1) -> float:
    """Share of places (0 to 1) at which the best of so many branches is more than the margin below the mean.

    Args:
        margin_db: Mean level above the level needed, in dB.
        branches: Unrelated receiving branches, 1 or more, of equal mean.

    Returns:
        Outage probability.

    Raises:
        ValueError: There is no branch.
    """
    _require_branches(branches)
    return (-expm1(-power_of_ten(-margin_db / 10))) ** branches


def rayleigh_margin_db(outage: float, branches: int = 1) -> float:
    """Margin in dB that keeps the outage of the best of so many branches to a share of places.

    Args:
        outage: Share of places, above 0 and below 1.
        branches: Unrelated receiving branches, 1 or more, of equal mean.

    Returns:
        Margin of the mean over the level needed, in dB; negative when the share is large.

    Raises:
        ValueError: There is no branch, or the share is not between 0 and 1.
    """
    _require_branches(branches)
    below = log1p(-(outage ** (1 / branches)))
    return -10 * log10(-below)


def unrelated_spacing_m(carrier_hz: float) -> float:
    """Least distance in m of two diversity antennas for unrelated fading; ValueError unless above 0 Hz."""
    return FIELDS_UNRELATED_WAVELENGTHS * wavelength_m(carrier_hz)


def _require_branches(branches: int) -> None:
    if branches < 1:
        raise ValueError(f"branches must be 1 or more, not {branches}")
