"""A carrier a hair away from a live TV channel.

What goes wrong: the emission clears the channel on paper, and the station's skirt hisses at the edge of the
stage. The gap runs from the emission's edge to the channel's; `policy.tv_guard_khz` is the least (0 switches the
rule off).

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: [25]}
    links: {hand: {kind: mic, carrier_mhz: 535.875}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: [25]}
    links: {hand: {kind: mic, carrier_mhz: 535.800}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.limits import hertz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, who
from planlint.rules.television import lacking

RULE = Rule(
    severity="warning",
    group="margin",
    source="common practice, no source",
    accept={"gap_khz": "lower"},
    switch="tv_guard_khz",
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each emission that stands beside a live TV channel with less than the guard between."""
    yield from lacking(plan, facts)
    guard = hertz(plan, "tv_guard_khz", 0).hz
    live = facts.live_channels or ()
    for link, carrier, low, high in carried(plan, facts):
        if any(channel.low_hz < high and low < channel.high_hz for channel in live):
            continue
        gaps = [(max(channel.low_hz - high, low - channel.high_hz), channel) for channel in live]
        near = min(gaps, default=None)
        if near is None or near[0] >= guard:
            continue
        gap, channel = near
        way = "down" if channel.low_hz >= high else "up"
        yield Fault(
            link.carrier_at,
            f"{link.id} {mhz(carrier)} clears live TV {channel.number} by {khz(gap)} kHz; guard {khz(guard)}. Expect hiss at the "
            f"stage edge: move {way} {khz(guard - gap)} kHz or more, at both ends.",
            who(link),
            {"carrier_mhz": mhz(carrier), "gap_khz": khz_number(gap), "guard_khz": khz_number(guard)},
            (Mark(channel.at, f"TV {channel.number} is listed here"),),
            rank=gap,
        )
