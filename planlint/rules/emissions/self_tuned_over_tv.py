"""A set that picks its own carrier, in a band with a live TV channel.

What goes wrong: at the first power-up it finds a quiet spot beside the TV signal, and at the second it finds itself under it.
What it does with a third of its band gone, nobody tried.

Bad::

    plan_format: 1
    kind: plan
    spectrum:
      tv_raster: us-6mhz
      tv_occupied: [20]
      self_tuning_bands: {low: {low_mhz: 500.000, high_mhz: 510.000}}
    links: {calls: {kind: comms, self_tuned: low}}

Good::

    plan_format: 1
    kind: plan
    spectrum:
      tv_raster: us-6mhz
      tv_occupied: [20]
      self_tuning_bands: {low: {low_mhz: 512.000, high_mhz: 518.000}}
    links: {calls: {kind: comms, self_tuned: low}}

Source: overlap of bands; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.self_tuning import sets
from planlint.facts.spectrum import raster
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.self_tuned_wording import lacking_bands

RULE = Rule(severity="warning", group="link", source="overlap of bands; common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each of our self-tuning sets with a live TV channel in its band."""
    yield from lacking_bands(plan)
    ours = [one for one in sets(plan) if one.ours]
    if not ours:
        return
    if facts.live_channels is None:
        listed = isinstance(plan.section("spectrum").get("tv_occupied"), list)
        needs = (
            ("/spectrum/tv_raster", plan.region_at)
            if listed and raster(plan)[0] is None
            else ("/spectrum/tv_occupied",)
        )
        yield Unchecked(needs, tuple(one.id for one in ours))
        return
    for one in ours:
        live = [channel for channel in facts.live_channels if one.band.overlaps(channel.low_hz, channel.high_hz)]
        if live:
            numbers = ", ".join(str(channel.number) for channel in live)
            yield Fault(
                one.at,
                f"{one.id} tunes itself from {mhz(one.band.low_hz)} to {mhz(one.band.high_hz)}, and TV {numbers} on the air here "
                f"{'is' if len(live) == 1 else 'are'} in it. Narrow the band on both ends if the set can, and write that; else take a "
                "set of another band.",
                (one.id,),
                {"band": one.band.id, "channels": numbers},
                tuple(Mark(channel.at, f"TV {channel.number} is on the air") for channel in live),
            )
