"""The scans of a plan as facts: read once, with what they say about our carriers."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from planlint.facts.scan import Floor, NoFloor, OpenScan, Scan, floor, for_kind, read_scans, scans
from planlint.facts.scan_peaks import Peaks, own_peaks, taken_with_own_on
from planlint.facts.shows import last_visit, show_before

if TYPE_CHECKING:
    from planlint.facts import Facts
    from planlint.plan.model import Plan


class Scans:
    """A plan's scans; a file is read when something in it is asked for."""

    def __init__(self, facts: Facts, open_scan: OpenScan | None) -> None:
        self._facts = facts
        self._open = open_scan
        self._floors: dict[tuple[str | None, int, int], Floor | NoFloor] = {}

    @cached_property
    def all(self) -> tuple[Scan, ...]:
        """The plan's scans, by id."""
        return self.of(self._facts.plan)

    def of(self, plan: Plan) -> tuple[Scan, ...]:
        """Return the scans of another show, by id."""
        return scans(plan, self._open)

    @cached_property
    def show_before(self) -> Plan | None:
        """The tour's last show before this one, or None."""
        return show_before(self._facts.plan, self._facts.siblings)

    @cached_property
    def last_visit(self) -> Plan | None:
        """The tour's last show at this place before this one, or None."""
        return last_visit(self._facts.plan, self._facts.siblings)

    @cached_property
    def own_peaks(self) -> dict[str, Peaks]:
        """Which of our carriers stand out of each scan that could be read, by the scan's id."""
        return {scan.id: own_peaks(self._facts.plan, points, self.show_before) for scan, points in read_scans(self.all)}

    @cached_property
    def own_on(self) -> frozenset[str]:
        """Ids of scans that were, or may have been, taken with our transmitters on."""
        return frozenset(scan.id for scan in self.all if taken_with_own_on(scan, self.own_peaks.get(scan.id)))

    @cached_property
    def floors(self) -> dict[str, Floor | NoFloor]:
        """The power at each link used tonight that has a carrier, where its receivers stand, by the link's id."""
        found = {}
        for name in sorted(self._facts.carriers):
            link = self._facts.plan.links.get(name)
            if link is not None:
                found[name] = self.floor_between(link.kind, *self._facts.edges(name))
        return found

    def floor_between(self, kind: str | None, low_hz: int, high_hz: int) -> Floor | NoFloor:
        """Return the power from `low_hz` to `high_hz` where receivers of a kind of link stand."""
        asked = (kind, low_hz, high_hz)
        if asked not in self._floors:
            self._floors[asked] = floor(self._facts.plan, for_kind(self.all, kind), low_hz, high_hz, self.own_on)
        return self._floors[asked]
