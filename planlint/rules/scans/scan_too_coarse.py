"""A scan whose points are so far apart that a signal can hide between two.

What goes wrong: at a step of 250 kHz a 200 kHz microphone shows as nothing. The usual step between points must be at
most `policy.scan.max_step_khz`; unwritten, half the widest emission among the links the scan is for, so that two
points at least fall within it.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}}
    links: {hand: {kind: mic, carrier_mhz: 500.500}}
    # file: desk.csv
    freq_mhz,level_dbm
    500.00,-101.5
    500.25,-101.0
    500.50,-102.5

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}}
    links: {hand: {kind: mic, carrier_mhz: 500.500}}
    # file: desk.csv
    freq_mhz,level_dbm
    500.4,-101.5
    500.5,-101.0
    500.6,-102.5

Source: derived from the width sought; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts, limits
from planlint.facts.emission import unwritten_hz
from planlint.facts.scan import read_scans
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, lacking

RULE = Rule(
    severity="warning", group="margin", source="derived; common practice, no source", accept={"step_khz": "higher"}
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan with too wide a step."""
    yield from lacking(plan, facts)
    for scan, points in read_scans(facts.scans.all):
        sought = [name for name, link in plan.links.items() if link.wants_carrier and scan.kind in {None, link.kind}]
        widest = limits.widest((facts.widths[name] for name in sought), unwritten_hz())
        limit = limits.hertz(plan, "scan.max_step_khz", widest)
        if points.step_hz <= limit.hz:
            continue
        why = "" if limit.written else f" (half of {khz(widest)} kHz)"
        yield Fault(
            scan.key_at("file"),
            f"Points of {called(scan)} are {khz(points.step_hz)} kHz apart, limit {khz(limit.hz)} kHz{why}: a transmitter "
            f"{khz(widest)} kHz wide can hide between two. Scan again at {khz(limit.hz)} kHz or finer.",
            (scan.id,),
            {"step_khz": khz_number(points.step_hz), "limit_khz": khz_number(limit.hz)},
            rank=-points.step_hz,
        )
