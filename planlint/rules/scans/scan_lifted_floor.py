"""A scan whose floor is up as a whole.

What goes wrong: something transmits beside the analyser and overloads it, or the wall of screens is on: the whole
town looks busy, and real signals drown. The floor (the median of each MHz, listed TV channels and plateaus apart) is
held against the last visit's scan where both were taken alike, else against the scan's own quietest tenth: more than
6 dB up over more than 50 MHz.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    spectrum: {tv_raster: us-6mhz, tv_occupied: []}
    scans: {stage: {file: stage.csv, for: ear}}
    # file: stage.csv
    freq_mhz,level_dbm
    470,-103
    480,-102
    490,-103
    500,-102
    510,-103
    520,-92
    530,-93
    540,-92
    550,-93
    560,-92
    570,-93
    580,-92
    590,-93
    600,-92

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    spectrum: {tv_raster: us-6mhz, tv_occupied: []}
    scans: {stage: {file: stage.csv, for: ear}}
    # file: stage.csv
    freq_mhz,level_dbm
    470,-103
    480,-102
    490,-103
    500,-102
    510,-103
    520,-102
    530,-103
    540,-102
    550,-103
    560,-102
    570,-103
    580,-102
    590,-103
    600,-102

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.scan import Scan, read_scans
from planlint.facts.scan_lift import Lift, comparable, over_last_visit, over_own_quietest
from planlint.facts.scan_points import Points
from planlint.facts.scan_tv import plateaus
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, lacking, lacking_siblings, show_called

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"shift_db": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan that is up over the last visit's, or over its own quietest part."""
    yield from lacking(plan, facts)
    if not facts.scans.all:
        return
    yield from lacking_siblings(plan, facts)
    if facts.live_channels is None:
        listed = isinstance(plan.section("spectrum").get("tv_occupied"), list)
        yield Unchecked(("/spectrum/tv_raster", plan.region_at) if listed else ("/spectrum/tv_occupied",))
        return
    television = [(channel.low_hz, channel.high_hz) for channel in facts.live_channels]
    visit = facts.scans.last_visit
    for scan, points in read_scans(facts.scans.all):
        without = television + [(plateau.low_hz, plateau.high_hz) for plateau in plateaus(plan, points)]
        lift, over = _on_last_visit(facts, scan, points, without), ""
        if lift is not None and visit is not None:
            over = f"over the last visit's ({show_called(visit)})"
        else:
            lift, over = over_own_quietest(points, without), "over its own quietest tenth"
        if lift.is_lifted:
            yield _fault(scan, lift, over)


def _on_last_visit(facts: Facts, scan: Scan, points: Points, without: list[tuple[int, int]]) -> Lift | None:
    visit = facts.scans.last_visit
    for other, others_points in read_scans(facts.scans.of(visit) if visit else ()):
        if comparable(scan, other):
            return over_last_visit((scan, points), (other, others_points), without)
    return None


def _fault(scan: Scan, lift: Lift, over: str) -> Fault:
    return Fault(
        scan.key_at("file"),
        f"The floor of {called(scan)} is {lift.shift_db:.1f} dB up {over}, across {lift.over_hz / 1e6:.0f} MHz. Either "
        "the analyser is overloaded (something transmits beside it), or screens and lights are on. Look which, and scan "
        "again: signals below the lift are not seen.",
        (scan.id,),
        {"shift_db": round(lift.shift_db, 1), "over_mhz": round(lift.over_hz / 1e6, 1)},
    )
