"""Thermal noise and the noise figure of a receiving chain.

Model: N = k T B with the Boltzmann constant exact in the SI of 2019 and the reference temperature of 290 K;
"200 kHz ... = kTB = -121 dBm" (read in a public copy). Cascade: H. T. Friis, "Noise Figures of Radio
Receivers", Proc. IRE 32 (1944) 419 (from memory, not verified): F = F1 + (F2 - 1) / G1 + (F3 - 1) / (G1 G2) +
...
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.rf.decibel import db_to_ratio, ratio_to_db
from planlint.rf.elementwise import log10, require_positive

if TYPE_CHECKING:
    from collections.abc import Iterable

BOLTZMANN_J_PER_K = 1.380649e-23
REFERENCE_TEMPERATURE_K = 290.0


class Stage(NamedTuple):
    """One stage of a receiving chain; a cable has a negative gain and its loss as noise figure."""

    gain_db: float
    noise_figure_db: float


def loss(loss_db: float) -> Stage:
    """The stage that a passive loss of so many dB at 290 K is."""
    return Stage(-loss_db, loss_db)


def thermal_noise_dbm(bandwidth_hz: float, temperature_k: float = REFERENCE_TEMPERATURE_K) -> float:
    """Thermal noise power in dBm in a bandwidth in Hz; ValueError unless both are above 0."""
    require_positive(bandwidth_hz=bandwidth_hz, temperature_k=temperature_k)
    return 30 + 10 * log10(BOLTZMANN_J_PER_K * temperature_k) + 10 * log10(bandwidth_hz)


def noise_floor_dbm(bandwidth_hz: float, noise_figure_db: float) -> float:
    """Noise of a receiver at 290 K, at its input, in dBm; ValueError unless the bandwidth is above 0."""
    return thermal_noise_dbm(bandwidth_hz) + noise_figure_db


def cascade_noise_figure_db(stages: Iterable[Stage]) -> float:
    """Noise figure in dB of stages in a row, the antenna's side first (Friis); 0 for none."""
    factor, gain = 1.0, 1.0
    for stage in stages:
        factor += (db_to_ratio(stage.noise_figure_db) - 1) / gain
        gain *= db_to_ratio(stage.gain_db)
    return ratio_to_db(factor)
