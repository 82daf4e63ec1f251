"""From a transmitter's power to what leaves the antenna, and to what arrives at a receiver.

Model: levels in dB add: EIRP = conducted power - combiner loss - coax loss + antenna gain over isotropic; ERP
is 2.15 dB less. Received power by the transmission formula of H. T. Friis, Proc. IRE 34 (1946) 254 (from
memory, not verified). A unit rated in ERP or EIRP is rated with its own antenna: no chain may be added to
that number.
"""

from __future__ import annotations

from typing import Literal

from planlint.rf.decibel import DIPOLE_GAIN_DBI, mw_to_dbm

Basis = Literal["conducted", "erp", "eirp"]


def eirp_dbm(power_mw: float, basis: Basis, loss_db: float = 0.0, gain_dbi: float = 0.0) -> float:
    """Equivalent isotropic radiated power in dBm.

    Args:
        power_mw: Rated power in mW.
        basis: What the rating means.
        loss_db: Combiner, coax and connectors between a conducted rating and the antenna, in dB.
        gain_dbi: Gain of that antenna in dBi; a bare half-wave whip has about 2.15.

    Returns:
        EIRP in dBm.

    Raises:
        ValueError: The power is not above 0, or a loss or gain comes with a radiated rating.
    """
    level_dbm = mw_to_dbm(power_mw)
    if basis == "conducted":
        return level_dbm - loss_db + gain_dbi
    if loss_db or gain_dbi:
        raise ValueError(f"a power rated as {basis} includes the unit's own antenna: no chain follows it")
    return level_dbm + (DIPOLE_GAIN_DBI if basis == "erp" else 0.0)


def received_dbm(eirp_dbm: float, path_loss_db: float, body_loss_db: float, gain_dbi: float, loss_db: float) -> float:
    """Level in dBm at a receiver's input.

    Args:
        eirp_dbm: Radiated power in dBm.
        path_loss_db: Loss of the path in dB.
        body_loss_db: What the wearer's body takes at either end in dB.
        gain_dbi: Gain of the receiving antenna in dBi.
        loss_db: Coax and splitter between antenna and receiver in dB; negative for an amplifier.

    Returns:
        Level in dBm.
    """
    return eirp_dbm - path_loss_db - body_loss_db + gain_dbi - loss_db
