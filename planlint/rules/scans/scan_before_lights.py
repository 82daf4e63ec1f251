"""A scan from before the screens and lights came on.

What goes wrong: a wall of screens or a dimmer lifts the floor, and the scan was taken in the quiet before it. What
makes noise stands under `spectrum.noise_sources`, each with the time it is switched on.

Bad::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    spectrum: {noise_sources: {video-wall: {at: "14:30"}}}
    scans: {stage: {file: stage.csv, at: "2026-03-14T13:05"}}

Good::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    spectrum: {noise_sources: {video-wall: {at: "14:30"}}}
    scans: {stage: {file: stage.csv, at: "2026-03-14T14:40"}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.scan import Scan, midnight, minutes_into, taken
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import clock, minutes
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import heading, kinds, listed

RULE = Rule(severity="note", group="tidy", source="common practice, no source")

_AT = "/spectrum/noise_sources"


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan that was taken before a noise source came on."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    sources = plan.section("spectrum").get("noise_sources")
    if not isinstance(sources, dict):
        yield Unchecked((_AT,))
        return
    times = {}
    for name in sorted(sources):
        if "at" in sources[name]:
            times[name] = minutes(sources[name]["at"])
        else:
            yield Unchecked((f"{_AT}/{escape(name)}/at",))
    day = midnight(plan)
    if times and facts.scans.all and day is None:
        yield Unchecked(("/show/date",))
    for scan in facts.scans.all if times else ():
        at = taken(scan)
        if at is None:
            yield Unchecked((scan.key_at("at"),), (scan.id,))
        elif day is not None:
            later = [name for name, on in times.items() if minutes_into(day, at) < on]
            if later:
                yield _fault(plan, scan, {name: times[name] for name in later})


def _fault(plan: Plan, scan: Scan, later: dict[str, int]) -> Fault:
    links = [link.id for kind, members in kinds(plan).items() if scan.kind in {None, kind} for link in members]
    again = f"Look at {listed(links)} again with the receivers' own meters" if links else "Look again"
    return Fault(
        scan.key_at("at"),
        f"{heading(scan)} was taken before {listed(f'{name} ({clock(on)})' for name, on in later.items())} came on. {again} "
        "when all of it is on, every transmitter of ours off.",
        (scan.id,),
        {"at": str(scan.spec["at"]), "first_on": clock(min(later.values())), "links": len(links)},
        tuple(Mark(f"{_AT}/{escape(name)}/at", f"{name} comes on here") for name in later),
    )
