"""Loss of passive splitters and combiners.

Model: a matched divider shares the power among its ways, 10 log10 N, and a combiner of unlike signals loses
as much; "Every stage drops the signal by -3.02 dB ideally", microwaves101.com, corporate power dividers (read
in a public copy; rounded there, exactly 3.0103). What a real one loses beyond that is its data sheet's. A
star of resistors loses 20 log10 N (from memory, not verified).
"""

from __future__ import annotations

from planlint.rf.elementwise import log10

TYPICAL_EXCESS_DB = 0.5
"""Loss of a real passive unit beyond the ideal (common practice, no source)."""


def split_loss_db(ways: int, excess_db: float = 0.0) -> float:
    """Loss in dB to each of N ways (a plain number) of a matched splitter or combiner; ValueError below 1."""
    if ways < 1:
        raise ValueError(f"ways must be 1 or more, not {ways}")
    return 10 * log10(ways) + excess_db


def resistive_split_loss_db(ways: int) -> float:
    """Loss in dB to each of N ways (a plain number) of a star of resistors; ValueError below 1."""
    return 2 * split_loss_db(ways)
