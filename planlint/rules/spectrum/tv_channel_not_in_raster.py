"""An occupied TV channel that the raster does not have.

What goes wrong: a typing error, or a list from a country with other channels. The number means no spectrum here, so
the station that was meant guards nothing. A number that the raster has and TV in this region no longer uses is
a warning: perhaps another one was meant.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: [16, 61]}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: [16, 36]}

Source: the rasters' channel numbers (6 MHz: 47 CFR 73.603(a); 8 MHz and 7 MHz: see planlint/rf/tv.py), and the
region file's first and last channel.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spectrum import raster
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rf.tv import channels
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="law", source="the rasters' channel numbers")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each listed number outside the raster, or outside what TV uses in the region."""
    listed = plan.section("spectrum").get("tv_occupied")
    name, raster_at = raster(plan)
    if not isinstance(listed, list):
        yield Unchecked(("/spectrum/tv_occupied",))
        return
    if name is None:
        yield Unchecked(("/spectrum/tv_raster", plan.region_at))
        return
    known = channels(name)
    first, last = _in_use(plan, name, known)
    for index, channel in enumerate(listed):
        where = f"/spectrum/tv_occupied/{index}"
        if channel not in known:
            yield Fault(
                where,
                f"TV {channel} does not exist in the {name} raster, so nothing is kept clear for it. Look the town's "
                "list up again, or correct the region.",
                (),
                {"channel": channel, "raster": name},
                (Mark(raster_at, f"the raster is {name} by this"),),
            )
        elif not first <= channel <= last:
            yield Fault(
                where,
                f"TV {channel} is listed as on the air, and TV in region {plan.region_id} uses {first} to {last}. Look "
                "the town's list up again: perhaps another number was meant.",
                (),
                {"channel": channel, "first_channel": first, "last_channel": last},
                severity="warning",
            )


def _in_use(plan: Plan, name: str, known: tuple[int, ...]) -> tuple[int, int]:
    """Return the first and last channel that TV uses in the region, where its raster is the one in force."""
    region = plan.region if plan.region and plan.region.raster == name else None
    first = region.first_channel if region else None
    last = region.last_channel if region else None
    return (known[0] if first is None else first), (known[-1] if last is None else last)
