"""The power in a scan between two edges: flat noise by its density, a single carrier as it was read.

Model: a level L read in a resolution bandwidth R is a power density of P(L) / R for noise, so the noise between two
edges is the sum over the points of P(L) times what the point stands for, divided by R; for flat noise that is
L + 10 log10(B / R), and where points are one R apart it is the sum of their powers. A single carrier reads the same
in any R, so it is never scaled. What stands more than 10 dB over its surroundings' median is taken for one: it counts
as the larger of its sum and of its highest point between the edges; where points are farther apart than R, a lone one
counts once.
Noise kept by its maximum reads some dB over its mean, so that a floor from it is too high rather than too low.
Derived from the definition of power density; the 10 dB are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts.scan_points import Points, median
from planlint.rf.decibel import dbm_to_mw, mw_to_dbm

#: What stands so far over the median of its surroundings is a signal, not noise.
STANDS_OUT_DB = 10.0
#: How far the surroundings reach to either side, unless the scan is too coarse for that.
AROUND_HZ = 1_000_000
_AROUND_STEPS = 5
#: The bandwidth that the house's floor lines count in.
LINE_WIDTH_HZ = 200_000


class Power(NamedTuple):
    """Power within a width: noise and single carriers, in mW, and the width in Hz."""

    noise_mw: float
    carriers_mw: float
    width_hz: float

    @property
    def mw(self) -> float:
        """All of it in mW."""
        return self.noise_mw + self.carriers_mw

    @property
    def dbm(self) -> float:
        """All of it in dBm: the floor of a link sum."""
        return mw_to_dbm(self.mw)

    @property
    def line_dbm(self) -> float:
        """What the house's floor lines count, in dBm: noise as in 200 kHz, single carriers as they are.

        To a tenth of a dB, which is finer than any scan: so -83 dBm in 100 kHz are on a line of -80 and not past it.
        """
        return round(mw_to_dbm(self.noise_mw * LINE_WIDTH_HZ / self.width_hz + self.carriers_mw), 1)


class _Bin(NamedTuple):
    mw: float
    share_hz: float
    inside: bool
    stands_out: bool


def power(points: Points, resolution_hz: int, low_hz: float, high_hz: float) -> Power:
    """Return the power from `low_hz` to `high_hz`.

    Args:
        points: a scan's points.
        resolution_hz: the bandwidth that each level was measured in.
        low_hz: lower edge, within what the points stand for.
        high_hz: upper edge, higher, within it too.
    """
    noise = carriers = 0.0
    run: list[_Bin] = []
    for here in _bins(points, low_hz, high_hz):
        if here.stands_out:
            run.append(here)
            continue
        carriers += _carrier(run, points.step_hz, resolution_hz)
        run = []
        noise += here.mw * here.share_hz / resolution_hz
    return Power(noise, carriers + _carrier(run, points.step_hz, resolution_hz), high_hz - low_hz)


def surroundings(points: Points, low_hz: float, high_hz: float) -> float | None:
    """Return the median level in dBm around an emission, itself included; None where there are no points."""
    reach = max(AROUND_HZ, _AROUND_STEPS * points.step_hz)
    middle = (low_hz + high_hz) / 2
    return median(points.levels(middle - reach, middle + reach))


def _bins(points: Points, low_hz: float, high_hz: float) -> Iterator[_Bin]:
    """Yield the points whose stretch reaches between the edges, with how much of it does."""
    quiet = surroundings(points, low_hz, high_hz)
    inner = points.within(low_hz, high_hz)
    for index in range(max(inner.start - 1, 0), min(inner.stop + 1, len(points))):
        low, high = points.cell(index)
        share = min(high, high_hz) - max(low, low_hz)
        if share > 0:
            dbm = points.dbm[index]
            stands_out = quiet is not None and dbm - quiet > STANDS_OUT_DB
            yield _Bin(dbm_to_mw(dbm), share, index in inner, stands_out)


def _carrier(run: list[_Bin], step_hz: int, resolution_hz: int) -> float:
    """Return the power in mW of neighbouring points that stand out."""
    if len(run) == 1 and step_hz > resolution_hz:
        return run[0].mw * (1.0 if run[0].inside else min(1.0, run[0].share_hz / resolution_hz))
    highest = max((here.mw for here in run if here.inside), default=0.0)
    return max(highest, sum(here.mw * here.share_hz / resolution_hz for here in run))
