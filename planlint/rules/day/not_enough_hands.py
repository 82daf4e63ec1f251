"""More units and list entries to set again than fit between the last scan and packs on.

What goes wrong: the scan is done at ten past three, thirteen carriers are other ones than last night, and packs go on at half
past. The last four are entered in the dark with the band on stage. Touched are the units of each link whose carrier is
not that of the tour's show before, and its entries in listening lists, each `policy.hands_min_per_unit` (unwritten 1.5 min)
for one pair of hands.

Bad::

    # file: venue-b.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {date: "2026-03-15"}
    carriers: {ear-1: {carrier_mhz: 505.300}}
    scans: {stage: {file: stage.csv, at: "2026-03-15T15:28"}}
    day: [{what: packs on, at: "15:30"}]
    # file: venue-a.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {date: "2026-03-14"}
    carriers: {ear-1: {carrier_mhz: 498.550}}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {id: t, region: us}
    policy: {hands_min_per_unit: 1.5}
    devices: {TX-1: {}, PK-1: {}}
    links: {ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {}}}}

Good::

    # file: venue-b.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {date: "2026-03-15"}
    carriers: {ear-1: {carrier_mhz: 505.300}}
    scans: {stage: {file: stage.csv, at: "2026-03-15T15:27"}}
    day: [{what: packs on, at: "15:30"}]
    # file: venue-a.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    show: {date: "2026-03-14"}
    carriers: {ear-1: {carrier_mhz: 498.550}}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {id: t, region: us}
    policy: {hands_min_per_unit: 1.5}
    devices: {TX-1: {}, PK-1: {}}
    links: {ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {}}}}

Without a show before there is nothing to compare. What changed against any other plan, and what to leave, says
`planlint diff`.

Source: a count; the minutes for an entry common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from planlint.facts import Facts
from planlint.facts.hands import rate
from planlint.facts.reentry import Work, last_scan_min, packs_on, work
from planlint.facts.shows import show_before
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import clock
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="a count", accept={"late_min": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where the changes since the show before do not fit between the last scan and packs on."""
    if plan.kind == "venue" and (facts.siblings is None or plan.date is None):
        yield Unchecked(("/uses",) if facts.siblings is None else ("/show/date",))
        return
    before = show_before(plan, facts.siblings)
    if before is None:
        return
    todo = work(plan, before)
    if todo.unknown:
        yield Unchecked(tuple(plan.links[name].carrier_at for name in todo.unknown), todo.unknown)
    if not todo.touches:
        return
    entry, scanned = packs_on(plan), last_scan_min(plan, facts)
    if entry is None or scanned is None:
        yield Unchecked((*(() if entry else ("/day",)), *(() if scanned is not None else ("/scans",))), todo.links)
        return
    each = Decimal(str(rate(plan).min_per_unit))
    late = each * len(todo.touches) - (entry.start_min - scanned)
    if late > 0:
        yield _fault(todo, (each, late), (scanned, entry.start_min), entry.at)


def _fault(todo: Work, minutes: tuple[Decimal, Decimal], span: tuple[int, int], at: str) -> Fault:
    each, late = minutes
    units = sorted({touch.unit for touch in todo.touches if touch.entry is None})
    entries = sum(1 for touch in todo.touches if touch.entry is not None)
    lists = f" and {entries} list entr{'y' if entries == 1 else 'ies'}" if entries else ""
    start, end = span
    return Fault(
        f"{at}/at",
        f"{len(units)} unit{'' if len(units) == 1 else 's'} to enter{lists} since the show before, at {float(each):g} min = "
        f"{float(each * len(todo.touches)):g} min; from the last scan, {clock(start)}, to packs on, {clock(end)}, there are {end - start}. Start with "
        "who goes on first, keep carriers that still stand clean, or take a second pair of hands.",
        (*todo.links, *units),
        {"touches": len(todo.touches), "gap_min": end - start, "late_min": float(late)},
        tuple(Mark(mark, f"{name} has a new carrier") for name, mark in zip(todo.links, todo.marks, strict=True)),
    )
