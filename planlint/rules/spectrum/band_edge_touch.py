"""A carrier inside the band whose emission sticks out of it.

What goes wrong: 470.050 looks allowed, but half of a 200 kHz emission lies below 470. The edges count, not the
centre.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    links: {hand: {kind: mic, carrier_mhz: 470.050}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    links: {hand: {kind: mic, carrier_mhz: 470.100}}

Source: the region file's rows; the edges are carrier ± half the emission width.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spectrum import closed_at, weakest
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who

RULE = Rule(severity="error", group="law", source="the region file's rows", law=True, accept={"outside_khz": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each carrier that is inside a band with an edge of its emission outside."""
    yield from lacking(plan, facts)
    if plan.region is None:
        return
    for link, carrier, low, high in carried(plan, facts):
        inside = [band for band in facts.bands if band.low_hz <= carrier <= band.high_hz]
        if not inside or closed_at(plan.region, low, high):
            continue
        if any(band.low_hz <= low and high <= band.high_hz for band in inside):
            continue
        says = strength(weakest([band.status for band in inside]))
        band = min(inside, key=lambda band: max(band.low_hz - low, high - band.high_hz))
        below = band.low_hz - low
        outside, edge = (below, band.low_hz) if below > 0 else (high - band.high_hz, band.high_hz)
        half = high - carrier
        first = "lowest" if below > 0 else "highest"
        allowed = edge + half if below > 0 else edge - half
        yield Fault(
            link.carrier_at,
            f"{link.id} {mhz(carrier)}: {khz(outside)} kHz of its emission ({khz(high - low)} kHz wide) is past the band "
            f"edge {mhz(edge)}{says.says}. The {first} carrier here is {mhz(allowed)}; enter it on every unit of the link.",
            who(link),
            {"carrier_mhz": mhz(carrier), "outside_khz": khz_number(outside), "edge_mhz": mhz(edge)},
            severity=says.severity,
            waivable=says.waivable,
        )
