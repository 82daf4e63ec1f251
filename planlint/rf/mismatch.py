"""Loss of a cable whose impedance is not that of what it joins.

Model: a lossless line of impedance Z between ends of Z0 transforms one end to (Z^2 / Z0) where it is an odd number of
quarter waves long, the worst case, and to Z0 itself where it is a whole number of half waves. Power lost by
reflection there: 1 - |G|^2 with G = (Z^2 - Z0^2) / (Z^2 + Z0^2), so at most 20 log10((Z / Z0 + Z0 / Z) / 2) dB
(transmission-line theory; closed form).
"""

from __future__ import annotations

from planlint.rf.elementwise import log10, require_positive

SYSTEM_OHM = 50.0
"""Impedance of the antenna sockets in this trade (common practice, no source)."""


def most_mismatch_loss_db(line_ohm: float, ends_ohm: float = SYSTEM_OHM) -> float:
    """Loss in dB by reflection that a lossless line costs at the worst of lengths; at the best it is 0.

    Args:
        line_ohm: Impedance of the line in ohm.
        ends_ohm: Impedance at both ends in ohm.

    Returns:
        Loss in dB, 0 where the impedances are equal.

    Raises:
        ValueError: An impedance is not above 0.
    """
    require_positive(line_ohm=line_ohm, ends_ohm=ends_ohm)
    return 20 * log10((line_ohm / ends_ohm + ends_ohm / line_ohm) / 2)
