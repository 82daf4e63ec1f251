"""Loss between two antennas in free space, and how far a decibel reaches.

Model: Recommendation ITU-R P.525-5 (11/2024), free-space loss L = 20 log10(4 pi d / lambda), "L_bf = 32.4 +
20 log f + 20 log d dB, where f is frequency in MHz and d is distance in km" (read in a public copy). The
printed 32.4 is rounded; here the exact constant is kept (32.4478), so results lie 0.048 dB above the printed
form. Valid in the far field. The power law with an exponent other than 2 is a rule of thumb for indoor ranges
(common practice, no source).
"""

from __future__ import annotations

import math

from planlint.rf.elementwise import log10, power_of_ten, require_positive

SPEED_OF_LIGHT_M_PER_S = 299_792_458  # exact by the definition of the metre


def wavelength_m(carrier_hz: float) -> float:
    """Wavelength in m of a carrier in Hz; ValueError unless it is above 0."""
    require_positive(carrier_hz=carrier_hz)
    return SPEED_OF_LIGHT_M_PER_S / carrier_hz


def free_space_loss_db(distance_m: float, carrier_hz: float) -> float:
    """Basic free-space transmission loss in dB between isotropic antennas (ITU-R P.525, exact constant).

    Args:
        distance_m: Distance in m.
        carrier_hz: Carrier in Hz.

    Returns:
        Loss in dB. Nearer than about one wavelength the model does not hold.

    Raises:
        ValueError: A quantity is not above 0.
    """
    require_positive(distance_m=distance_m)
    return 20 * log10(4 * math.pi * distance_m / wavelength_m(carrier_hz))


def free_space_distance_m(loss_db: float, carrier_hz: float) -> float:
    """Distance in m at which the free-space loss reaches a value in dB: `free_space_loss_db` inverted."""
    return power_of_ten(loss_db / 20) * wavelength_m(carrier_hz) / (4 * math.pi)


def reach_factor(gain_db: float, exponent: float = 2.0) -> float:
    """How many times farther the same level is reached with so many dB more.

    Args:
        gain_db: Additional level in dB; negative for less.
        exponent: Path-loss exponent: 2 in free space; 3 to 4 is usual indoors (common practice, no source).

    Returns:
        Ratio of distances.

    Raises:
        ValueError: The exponent is not above 0.
    """
    require_positive(exponent=exponent)
    return power_of_ten(gain_db / (10 * exponent))
