"""Run time of cells, by generic type.

Model: run time = capacity / current, with the capacity a cell gives at that current. For an alkaline AA the
capacity falls with the logarithm of the current between two published points, "about 2900mAh at 25mA load,
but only about 1400mA at 500mA load" (lygte-info.dk, comparison of AA chemistries, read in a public copy). IEC
60086-2 states test durations and no capacity. A unit draws constant power, so its current rises as the
voltage falls, and cold and age take their share: a maker's or crew's measured run time beats any of this.

Types and nominal voltages: LR6 alkaline 1.5 V, HR6 nickel-metal hydride 1.2 V, FR6 lithium-iron disulfide 1.5
V, R6 zinc-carbon 1.5 V (IEC designations, read in a public copy; 1.5 V of R6 and FR6 from memory, not
verified).
"""

from __future__ import annotations

from typing import NamedTuple

from planlint.rf.elementwise import log10, require_between, require_not_negative, require_positive

ALKALINE_AA_MAH = ((25.0, 2900.0), (500.0, 1400.0))
"""(current in mA, capacity in mAh) of LR6."""

AGED_SHARE = 0.8
"""Share of its capacity to plan with for a rechargeable cell in use (from memory, not verified)."""


class CellType(NamedTuple):
    """A size AA cell: chemistry and nominal voltage in V."""

    chemistry: str
    nominal_v: float


AA_CELLS = {
    "LR6": CellType("alkaline", 1.5),
    "HR6": CellType("nickel-metal hydride", 1.2),
    "FR6": CellType("lithium-iron disulfide", 1.5),
    "R6": CellType("zinc-carbon", 1.5),
}


def alkaline_aa_capacity_mah(current_ma: float) -> float:
    """Capacity in mAh of an alkaline AA cell at a current of 25 to 500 mA; ValueError outside that."""
    (low_ma, low_mah), (high_ma, high_mah) = ALKALINE_AA_MAH
    require_between(low_ma, high_ma, current_ma=current_ma)
    along = log10(current_ma / low_ma) / log10(high_ma / low_ma)
    return low_mah + (high_mah - low_mah) * along


def run_time_h(capacity_mah: float, current_ma: float, share: float = 1.0) -> float:
    """Run time of cells in series.

    Args:
        capacity_mah: Capacity of one cell at that current in mAh.
        current_ma: Mean current in mA.
        share: Share of the capacity to plan with, for age, cold and end voltage.

    Returns:
        Run time in hours.

    Raises:
        ValueError: The current is not above 0, or another quantity is negative.
    """
    require_positive(current_ma=current_ma)
    require_not_negative(capacity_mah=capacity_mah, share=share)
    return capacity_mah * share / current_ma
