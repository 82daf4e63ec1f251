"""A plan's scans: how each was taken, and the power found at a carrier."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from planlint.document.nodes import escape
from planlint.facts import limits
from planlint.facts.scan_floor import Power, power
from planlint.plan.quantity import MINUTES_PER_DAY, to_hz

if TYPE_CHECKING:
    from planlint.facts.scan_file import ScanFile
    from planlint.facts.scan_points import Points
    from planlint.plan.model import Plan

#: Opens the file that a plan (its path, relative to the root) names as a scan.
OpenScan = Callable[[str, str], "ScanFile"]

_NOON_MIN = MINUTES_PER_DAY // 2


class Scan(NamedTuple):
    """A scan of a plan: what is written about it, and its file; None where files are not opened."""

    id: str
    spec: Mapping[str, Any]
    at: str
    file: ScanFile | None

    @property
    def kind(self) -> str | None:
        """The kind of link whose receivers stand where it was taken; None: unwritten, it stands for all."""
        return self.spec.get("for")

    @property
    def resolution_hz(self) -> int | None:
        """The bandwidth that each level was measured in, in Hz."""
        written = self.spec.get("resolution_khz")
        return None if written is None else to_hz(written, "khz")

    @property
    def points(self) -> Points | None:
        """Its points; None where the file cannot be read or is no scan."""
        return self.file.reading.points if self.file else None

    def key_at(self, key: str) -> str:
        """Return the pointer to one of its keys."""
        return f"{self.at}/{key}"


class Floor(NamedTuple):
    """The power at a carrier within its emission, where its receivers stand.

    Attributes:
        power: the power, noise and single carriers apart.
        scan: id of the scan in which it is highest.
    """

    power: Power
    scan: str


class NoFloor(NamedTuple):
    """Why there is no floor at a carrier: the pointers of what is missing."""

    needs: tuple[str, ...]


def scans(plan: Plan, open_scan: OpenScan | None) -> tuple[Scan, ...]:
    """Return a plan's scans by id; no file is read yet."""
    section = plan.section("scans")
    return tuple(
        Scan(name, spec, f"/scans/{escape(name)}", open_scan(plan.file, str(spec["file"])) if open_scan else None)
        for name in sorted(section)
        if isinstance(spec := section[name], dict) and "file" in spec
    )


def for_kind(found: tuple[Scan, ...], kind: str | None) -> tuple[Scan, ...]:
    """Return the scans that stand for a kind of link: its own, and those that do not say which."""
    return tuple(scan for scan in found if scan.kind is None or scan.kind == kind)


def covered(plan: Plan, found: tuple[Scan, ...], width_hz: int) -> list[tuple[int, int]]:
    """Return what some scans saw between them, as stretches (lower, upper) in Hz without a hole, in order.

    Args:
        plan: the plan.
        found: scans.
        width_hz: the widest emission concerned, from which the widest step follows by default.
    """
    widest = limits.hertz(plan, "scan.max_step_khz", width_hz).hz
    stretches = sorted((*ends, points.step_hz) for _, points in read_scans(found) for ends in points.covered(widest))
    merged: list[tuple[int, int, int]] = []
    for low, high, step in stretches:
        if merged and low - step / 2 <= merged[-1][1] + merged[-1][2] / 2:  # half a step past its last point is seen
            if high > merged[-1][1]:
                merged[-1] = (merged[-1][0], high, step)
        else:
            merged.append((low, high, step))
    return [(low, high) for low, high, _ in merged]


def floor(
    plan: Plan, found: tuple[Scan, ...], low_hz: int, high_hz: int, own_on: frozenset[str] = frozenset()
) -> Floor | NoFloor:
    """Return the power from `low_hz` to `high_hz`, the highest of several scans.

    Where no scan sees all of it, each part takes the highest of the scans that see it, and the parts add up.

    Args:
        plan: the plan.
        found: the scans that stand for the kind of link.
        low_hz: lower edge of the emission.
        high_hz: its upper edge.
        own_on: ids of scans taken with our own transmitters on: a carrier in them may be our own.
    """
    usable = tuple(scan for scan in found if scan.points is not None and scan.resolution_hz is not None)
    if not usable:
        missing = [scan.key_at("file" if scan.points is None else "resolution_khz") for scan in found]
        return NoFloor(tuple(missing) or ("/scans",))
    if not any(low <= low_hz and high_hz <= high for low, high in covered(plan, usable, high_hz - low_hz)):
        return NoFloor(tuple(scan.key_at("file") for scan in found))
    seeing = [(scan, points) for scan, points in read_scans(usable) if _sees(points, low_hz, high_hz)]
    edges = {edge for _, points in seeing for edge in points.reach if low_hz < edge < high_hz}
    parts: list[Floor] = []
    for low, high in pairwise(sorted({float(low_hz), float(high_hz)} | edges)):
        here = [(scan, points) for scan, points in seeing if points.reach[0] <= low and high <= points.reach[1]]
        powers = [Floor(power(points, _resolution(scan), low, high), scan.id) for scan, points in here]
        ours = tuple(scan.key_at("own_rf") for (scan, _), part in zip(here, powers, strict=True) if _ours(part, own_on))
        if ours:
            return NoFloor(ours)
        parts.append(max(powers, key=lambda part: part.power.mw))
    highest = max(parts, key=lambda part: part.power.mw)
    total = Power(
        sum(part.power.noise_mw for part in parts), sum(part.power.carriers_mw for part in parts), high_hz - low_hz
    )
    return Floor(total, highest.scan)


def _sees(points: Points, low_hz: int, high_hz: int) -> bool:
    return points.reach[0] < high_hz and low_hz < points.reach[1]


def _resolution(scan: Scan) -> int:
    assert scan.resolution_hz is not None
    return scan.resolution_hz


def _ours(part: Floor, own_on: frozenset[str]) -> bool:
    return part.scan in own_on and part.power.carriers_mw > 0


def taken(scan: Scan) -> datetime | None:
    """Return when a scan was taken, or None where that is not written or no date of the calendar."""
    try:
        return datetime.fromisoformat(str(scan.spec["at"]))
    except (KeyError, ValueError):
        return None


def midnight(plan: Plan) -> datetime | None:
    """Return the midnight that the show's day begins with, or None where its date is not known."""
    try:
        return datetime.fromisoformat(plan.date or "")
    except ValueError:
        return None


def needed_at_min(plan: Plan) -> int:
    """Return when scans must be fresh, in minutes of the show's date: at the first `packs on`, else at noon."""
    return min((entry.start_min for entry in plan.day if entry.what == "packs on"), default=_NOON_MIN)


def age_min(plan: Plan, scan: Scan) -> int | None:
    """Return a scan's age in minutes when it is needed, negative where it was taken later; None where unknown."""
    at, day = taken(scan), midnight(plan)
    if at is None or day is None:
        return None
    return needed_at_min(plan) - minutes_into(day, at)


def minutes_into(day: datetime, at: datetime) -> int:
    """Return the minutes from a midnight to a time."""
    gap = at - day
    return gap.days * MINUTES_PER_DAY + gap.seconds // 60


def read_scans(found: tuple[Scan, ...]) -> Iterator[tuple[Scan, Points]]:
    """Yield the scans that could be read, with their points."""
    for scan in found:
        points = scan.points
        if points is not None:
            yield scan, points
