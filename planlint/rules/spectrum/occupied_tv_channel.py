"""A carrier in a TV channel that is on the air in this town.

What goes wrong: last tour's carrier was clean; here a station sits on it, and the pack hears it as soon as its
own transmitter fades. A quiet scan never frees a listed channel: low antennas miss TV.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: [16]}
    links: {vox: {kind: ear, carrier_mhz: 485.575}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: [16]}
    links: {vox: {kind: ear, carrier_mhz: 505.300}}

A waiver needs `by_route: coordinated`, `distance` or `indoor`, the ways the rules give.

Source: TV channels: 47 CFR 73.603(a) for the 6 MHz raster; the town's list is the plan's own.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, who
from planlint.rules.television import lacking

RULE = Rule(severity="error", group="law", source="47 CFR 73.603(a) and the town's list", law=True)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each emission that overlaps live TV channels."""
    yield from lacking(plan, facts)
    for link, carrier, low, high in carried(plan, facts):
        hit = [channel for channel in facts.live_channels or () if channel.low_hz < high and low < channel.high_hz]
        if not hit:
            continue
        names = " and ".join(str(channel.number) for channel in hit)
        inside = "is inside" if hit[0].low_hz <= carrier <= hit[-1].high_hz else "reaches into"
        yield Fault(
            link.carrier_at,
            f"{link.id} {mhz(carrier)} {inside} TV {names} ({mhz(hit[0].low_hz)}-{mhz(hit[-1].high_hz)}), on the air in this "
            "town. Move it to a free channel: its transmitter, every pack or receiver on it, and every listening list.",
            who(link),
            {"carrier_mhz": mhz(carrier), "channel": hit[0].number},
            tuple(Mark(channel.at, f"TV {channel.number} is listed here") for channel in hit),
        )
