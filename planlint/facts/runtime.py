"""How long units run on their cells: from when to when, and the stretches between two changes of cells.

In-ear packs run from `packs on`, microphones from `sound check`, to the last `until` of the day. A `cell swap` covers
the in-ear packs unless its `units` says otherwise. All times are minutes since midnight of the show's date and run
on past midnight.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal, NamedTuple

from planlint.facts.packs import ear_links, main_packs, setting
from planlint.plan.model import DayEntry, Device, Link, Plan

Job = Literal["pack", "microphone"]

#: Share of a run time to plan with: cells age, and no data sheet knows the room's cold (common practice, no source).
PLANNED_SHARE = Decimal("0.8")

_BEGINS: dict[Job, str] = {"pack": "packs on", "microphone": "sound check"}


class Run(NamedTuple):
    """When a unit runs, in minutes: from when, until when, and when it gets fresh cells in between."""

    start_min: int
    end_min: int
    swaps_min: tuple[int, ...]

    @property
    def stretches(self) -> tuple[tuple[int, int], ...]:
        """The stretches on one set of cells."""
        return tuple(pairwise((self.start_min, *self.swaps_min, self.end_min)))

    @property
    def longest(self) -> tuple[int, int]:
        """The longest stretch, the first of equals."""
        return max(self.stretches, key=lambda stretch: stretch[1] - stretch[0])


class Runner(NamedTuple):
    """A unit that runs on cells tonight.

    Attributes:
        device: the unit.
        link: the link it is on.
        job: what it does there.
        person: who wears or holds it.
        at: pointer to where it is put on the link; a pack is a key there.
        chemistry: the cells fitted, or None.
        chemistry_at: pointer to where that is written, or belongs.
    """

    device: Device
    link: Link
    job: Job
    person: str | None
    at: str
    chemistry: str | None
    chemistry_at: str

    @property
    def run_h(self) -> Decimal | None:
        """How long a fresh set runs, in hours, or None where that is not written."""
        cells = self.device.model.spec.get("cells", {}) if self.device.model else {}
        hours = cells.get("run_h", {}).get(self.chemistry) if self.chemistry else None
        return None if hours is None else Decimal(hours)

    @property
    def run_needs(self) -> tuple[str, ...]:
        """Pointers to write so that the run time is known."""
        if self.device.model is None:
            return (f"{self.device.at}/model",)
        if self.chemistry is None:
            return (self.chemistry_at,)
        return () if self.run_h is not None else (f"{self.device.model.at}/cells/run_h/{self.chemistry}",)


def runners(plan: Plan) -> Iterator[Runner]:
    """Yield each main pack and microphone of the links used tonight, by link and unit; stand-ins lie switched off."""
    for link in ear_links(plan):
        for pack in main_packs(link):
            if pack.id in plan.devices:
                cells = setting(plan, pack, "cells")
                device = plan.devices[pack.id]
                yield Runner(device, link, "pack", pack.person, pack.at, _text(cells.value), cells.at)
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and link.kind == "mic" and link.stands_in_for is None and link.tx in plan.devices:
            device = plan.devices[str(link.tx)]
            at, cells_at = f"{link.at}/mic", f"{device.at}/cells"
            yield Runner(device, link, "microphone", link.person, at, _text(device.spec.get("cells")), cells_at)


def run(plan: Plan, unit: str, job: Job) -> Run | None:
    """Return when a unit runs; None where the day does not say (see `lacking`)."""
    start, end = begins(plan, job), ends(plan)
    if start is None or end is None:
        return None
    swaps = {entry.start_min for entry in swaps_of(plan, unit, job) if start < entry.start_min < end}
    return Run(start, max(start, end), tuple(sorted(swaps)))


def lacking(plan: Plan, job: Job) -> tuple[str, ...]:
    """Return the pointers of what the day lacks to say when units of a job run."""
    if not plan.day or begins(plan, job) is None:
        return ("/day",)
    return () if ends(plan) is not None else (f"{plan.day[-1].at}/until",)


def begins(plan: Plan, job: Job) -> int | None:
    """Return the minute from which packs or microphones run, or None."""
    entry = first(plan, _BEGINS[job])
    return None if entry is None else entry.start_min


def ends(plan: Plan) -> int | None:
    """Return the minute of the day's last written `until`, or None."""
    written = [entry.end_min for entry in plan.day if entry.written_until and entry.end_min is not None]
    return max(written, default=None)


def first(plan: Plan, what: str) -> DayEntry | None:
    """Return the earliest entry of a kind, or None."""
    entries = [entry for entry in plan.day if entry.what == what]
    return min(entries, key=lambda entry: entry.start_min, default=None)


def swaps_of(plan: Plan, unit: str, job: Job) -> list[DayEntry]:
    """Return the cell swaps that cover a unit, in written order."""
    return [entry for entry in plan.day if entry.what == "cell swap" and _covers(entry, unit, job)]


def _covers(entry: DayEntry, unit: str, job: Job) -> bool:
    if entry.units is None:
        return job == "pack"
    return entry.units == "all" or unit in entry.units


def _text(value: Any) -> str | None:
    return value if isinstance(value, str) else None
