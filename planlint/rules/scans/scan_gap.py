"""A carrier, or a spare, that no scan has seen.

What goes wrong: the scan stops at 548, or has a hole, and whoever reads it takes the blank for quiet. The whole
emission (carrier ± half its width) of each link and spare must lie within what the scans for its kind saw between
them. A hole is a gap of more than the widest step allowed and more than one and a half usual steps.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}}
    links: {hand: {kind: mic, carrier_mhz: 500.250}}
    # file: desk.csv
    freq_mhz,level_dbm
    500.0,-101.5
    500.1,-101.0
    500.2,-102.5
    500.3,-103.0

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}}
    links: {hand: {kind: mic, carrier_mhz: 500.200}}
    # file: desk.csv
    freq_mhz,level_dbm
    500.0,-101.5
    500.1,-101.0
    500.2,-102.5
    500.3,-103.0

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts import Facts
from planlint.facts.scan import Scan, covered, for_kind
from planlint.facts.spares import width_hz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers
from planlint.rules.scanning import lacking, listed

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


class _Sought(NamedTuple):
    name: str
    link: str | None
    at: str
    low_hz: int
    high_hz: int


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each kind of link of which a carrier or a spare is not covered."""
    yield from lacking(plan, facts)
    if "scans" not in plan.values:
        return
    yield from lacking_carriers(plan, facts)
    for kind, sought in sorted(_sought(plan, facts).items()):
        scans = for_kind(facts.scans.all, kind)
        if not scans or any(scan.points is None for scan in scans):
            continue  # scan-wrong-place, scan-missing and scan-format tell
        widest = max(one.high_hz - one.low_hz for one in sought)
        seen = covered(plan, scans, widest)
        unseen = [one for one in sought if not any(low <= one.low_hz and one.high_hz <= high for low, high in seen)]
        if unseen:
            yield _fault(kind, scans, seen, unseen)


def _fault(kind: str, scans: tuple[Scan, ...], seen: list[tuple[int, int]], unseen: list[_Sought]) -> Fault:
    names = " and ".join(scan.id for scan in scans)
    stretches = listed(f"{mhz(low)}-{mhz(high)}" for low, high in seen)
    low, high = min(one.low_hz for one in unseen), max(one.high_hz for one in unseen)
    return Fault(
        scans[0].key_at("file"),
        f"{'Scan' if len(scans) == 1 else 'Scans'} {names} ({kind}) saw {stretches}: {listed(one.name for one in unseen)} "
        f"{'is' if len(unseen) == 1 else 'are'} unseen. Scan {mhz(low)}-{mhz(high)} too, or move there where was scanned.",
        (*(scan.id for scan in scans), *(one.link for one in unseen if one.link)),
        {"unseen": len(unseen), "unseen_low_mhz": mhz(low), "unseen_high_mhz": mhz(high)},
        tuple(Mark(one.at, one.name) for one in unseen),
    )


def _sought(plan: Plan, facts: Facts) -> dict[str, list[_Sought]]:
    found: dict[str, list[_Sought]] = {}
    for name in sorted(facts.carriers):
        link = plan.links.get(name)
        if link is not None and link.kind:
            edges = facts.edges(name)
            one = _Sought(f"{name} {mhz(facts.carriers[name])}", name, link.carrier_at, *edges)
            found.setdefault(link.kind, []).append(one)
    for spare in plan.spares:
        half = width_hz(facts, spare) // 2
        edges = (spare.carrier_hz - half, spare.carrier_hz + half)
        found.setdefault(spare.kind, []).append(_Sought(f"spare {mhz(spare.carrier_hz)}", None, spare.at, *edges))
    return found
