"""A carrier in spectrum that is kept for others: astronomy, medical telemetry, mobile networks.

What goes wrong: hospitals and telescopes listen there for signals far weaker than yours. It is not yours at any
power, however quiet it sounds. The emission's edges count.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    links: {gtr: {kind: ear, carrier_mhz: 610.000}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    links: {gtr: {kind: ear, carrier_mhz: 600.000}}

Source: the region file's closed bands (for `us`: 47 CFR 73.603(c) for 608-614 MHz); each says whether it was read.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spectrum import closed_at
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who

RULE = Rule(severity="error", group="law", source="the region file's closed bands", law=True)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each emission that overlaps a closed band."""
    yield from lacking(plan, facts)
    if plan.region is None:
        return
    for link, carrier, low, high in carried(plan, facts):
        closed = closed_at(plan.region, low, high)
        if closed is None:
            continue
        says = strength(closed.status.get("band", "memory"))
        yield Fault(
            link.carrier_at,
            f"{link.id} {mhz(carrier)} reaches into {mhz(closed.low_hz)}-{mhz(closed.high_hz)}, closed here: {closed.why}"
            f"{says.says}. Not yours at any power: switch it off and choose another carrier for every unit on the link.",
            who(link),
            {"carrier_mhz": mhz(carrier), "closed": closed.id},
            severity=says.severity,
            waivable=says.waivable,
        )
