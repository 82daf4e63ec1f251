"""Decibels and the units built on them.

Model: L = 10 log10(P / P0) for power, 20 log10(U / U0) for voltage (IEC 60027-3; from memory, not verified).
References: 1 mW (dBm); 1 V (dBV); 0.775 V = sqrt(0.6) V, 1 mW in 600 ohm (dBu); 1 uV (dBuV). A half-wave
dipole has 2.15 dB over an isotropic antenna: "ERP = EIRP/1,64 = EIRPdB - 2,15 dB", telecomabc.com/e/erp.html
(read in a public copy); which of the two a power limit means decides 2.15 dB.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planlint.rf.elementwise import log10, power_of_ten, require_positive

if TYPE_CHECKING:
    from collections.abc import Iterable

DIPOLE_GAIN_DBI = 2.15
DBU_REFERENCE_V = 0.6**0.5


def ratio_to_db(power_ratio: float) -> float:
    """Power ratio to dB; ValueError unless above 0."""
    require_positive(power_ratio=power_ratio)
    return 10 * log10(power_ratio)


def db_to_ratio(level_db: float) -> float:
    """Decibels to power ratio."""
    return power_of_ten(level_db / 10)


def mw_to_dbm(power_mw: float) -> float:
    """Power in mW to dBm; ValueError unless above 0."""
    require_positive(power_mw=power_mw)
    return 10 * log10(power_mw)


def dbm_to_mw(level_dbm: float) -> float:
    """Power in dBm to mW."""
    return power_of_ten(level_dbm / 10)


def sum_dbm(levels_dbm: Iterable[float]) -> float:
    """Power sum, in dBm, of uncorrelated signals in dBm; ValueError if there are none."""
    return mw_to_dbm(sum(dbm_to_mw(level) for level in levels_dbm))


def dbd_to_dbi(gain_dbd: float) -> float:
    """Gain over a half-wave dipole to gain over an isotropic antenna."""
    return gain_dbd + DIPOLE_GAIN_DBI


def dbi_to_dbd(gain_dbi: float) -> float:
    """Gain over an isotropic antenna to gain over a half-wave dipole."""
    return gain_dbi - DIPOLE_GAIN_DBI


def erp_to_eirp_mw(erp_mw: float) -> float:
    """Effective radiated power (over a dipole) to equivalent isotropic radiated power, both in mW."""
    return erp_mw * db_to_ratio(DIPOLE_GAIN_DBI)


def eirp_to_erp_mw(eirp_mw: float) -> float:
    """Equivalent isotropic radiated power to effective radiated power (over a dipole), both in mW."""
    return eirp_mw / db_to_ratio(DIPOLE_GAIN_DBI)


def volts_to_dbv(volts_rms: float) -> float:
    """Volts rms to dBV; ValueError unless above 0."""
    require_positive(volts_rms=volts_rms)
    return 20 * log10(volts_rms)


def dbv_to_volts(level_dbv: float) -> float:
    """Level in dBV to volts rms."""
    return power_of_ten(level_dbv / 20)


def volts_to_dbu(volts_rms: float) -> float:
    """Volts rms to dBu; ValueError unless above 0."""
    return volts_to_dbv(volts_rms) - 20 * log10(DBU_REFERENCE_V)


def dbu_to_volts(level_dbu: float) -> float:
    """Level in dBu to volts rms."""
    return DBU_REFERENCE_V * power_of_ten(level_dbu / 20)


def dbm_to_dbuv(level_dbm: float, impedance_ohm: float = 50.0) -> float:
    """Power in dBm to the voltage across an impedance in dB over 1 uV; ValueError unless it is above 0."""
    require_positive(impedance_ohm=impedance_ohm)
    return level_dbm + 10 * log10(impedance_ohm) + 90
