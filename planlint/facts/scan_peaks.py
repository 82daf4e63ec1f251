"""Carriers that stand out of a scan: ours or others', where they should have been silent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.scan_floor import AROUND_HZ, STANDS_OUT_DB
from planlint.facts.scan_points import Points, median

if TYPE_CHECKING:
    from planlint.facts.scan import Scan
    from planlint.plan.model import Plan

#: A peak this near a carrier is taken for it.
NEAR_HZ = 50_000
#: One peak may be anybody's; two and more on half of a set's carriers are that set.
LEAST_PEAKS = 2
_AROUND_STEPS = 5
_OWN_HALF_HZ = 300_000


class Peaks(NamedTuple):
    """Which of a set's carriers stand out of a scan.

    Attributes:
        ids: those that do, in order of id.
        seen: how many of the set the scan covers.
        show: the file of the show whose carriers they are.
    """

    ids: tuple[str, ...]
    seen: int
    show: str

    @property
    def are_the_set(self) -> bool:
        """Whether so many stand out that the set was on the air: half of it or more, and at least two."""
        return len(self.ids) >= LEAST_PEAKS and 2 * len(self.ids) >= self.seen


def stands_out(points: Points, carrier_hz: int) -> bool | None:
    """Say whether a scan has a peak within 50 kHz of a carrier; None where it does not reach there.

    A peak is more than 10 dB above the median of what lies 0.3 to 1 MHz to either side.
    """
    if not points.low_hz <= carrier_hz <= points.high_hz:
        return None
    near = max(NEAR_HZ, points.step_hz // 2)
    clear = max(_OWN_HALF_HZ, points.step_hz)
    reach = max(AROUND_HZ, _AROUND_STEPS * points.step_hz)
    peak = max(points.levels(carrier_hz - near, carrier_hz + near), default=None)
    below = points.levels(carrier_hz - reach, carrier_hz - clear)
    around = median([*below, *points.levels(carrier_hz + clear, carrier_hz + reach)])
    return peak is not None and around is not None and peak - around > STANDS_OUT_DB


def peaks(points: Points, carriers: Mapping[str, int], show: str) -> Peaks:
    """Say which of some carriers (in Hz, by id) stand out of a scan."""
    found = {name: stands_out(points, carriers[name]) for name in sorted(carriers)}
    return Peaks(
        ids=tuple(name for name, out in found.items() if out),
        seen=sum(out is not None for out in found.values()),
        show=show,
    )


def own_peaks(plan: Plan, points: Points, before: Plan | None) -> Peaks:
    """Say which of our carriers stand out of a scan: tonight's, or the show's before, whichever are more of theirs.

    Args:
        plan: the plan.
        points: a scan's points.
        before: the show before, whose carriers the transmitters had until they were tuned; None where unknown.
    """
    tonight = peaks(points, own_carriers(plan), plan.file)
    if before is None or tonight.are_the_set:
        return tonight
    last = peaks(points, own_carriers(before), before.file)
    return last if last.are_the_set else tonight


def own_carriers(plan: Plan) -> dict[str, int]:
    """Return the carriers in Hz of all links of a show, by id."""
    return {name: link.carrier_hz for name, link in plan.links.items() if link.used and link.carrier_hz is not None}


def taken_with_own_on(scan: Scan, found: Peaks | None) -> bool:
    """Say whether our transmitters were on, or may have been, while a scan was taken."""
    return scan.spec.get("own_rf") in {"live", "unknown"} or (found is not None and found.are_the_set)
