"""A set that picks its own carrier, in a band that the region does not give to wireless audio as a whole.

What goes wrong: the set was bought abroad, or its band was written from the box of its sister model. Nobody enters a carrier,
so nobody looks it up, and it may go wherever its band goes.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {self_tuning_bands: {upper: {low_mhz: 606.000, high_mhz: 616.000}}}
    links: {calls: {kind: comms, self_tuned: upper}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}}}
    links: {calls: {kind: comms, self_tuned: upper}}

A band that lies wholly where the region file has no row and nothing closed is a warning: the file is about wireless
audio, and other rules may hold there. Power and licences are not judged here: they go by the carrier.

Source: the region file's rows and closed bands.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.capacity import merged
from planlint.facts.self_tuning import Set, sets
from planlint.facts.spectrum import closed_at, weakest
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Range
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import strength
from planlint.rules.self_tuned_wording import lacking_bands

RULE = Rule(severity="error", group="law", source="the region file's rows and closed bands", law=True)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each of our self-tuning sets whose band is not allowed as a whole."""
    yield from lacking_bands(plan)
    ours = [one for one in sets(plan) if one.ours]
    if plan.region is None:
        if ours:
            yield Unchecked((plan.region_at,), tuple(one.id for one in ours))
        return
    allowed = merged(Range(band.low_hz, band.high_hz) for band in facts.bands)
    for one in ours:
        low, high = one.band.low_hz, one.band.high_hz
        closed = closed_at(plan.region, low, high)
        if closed is not None:
            says = strength(closed.status.get("band", "memory"))
            what = f"reaches into {mhz(closed.low_hz)}-{mhz(closed.high_hz)}, closed here: {closed.why}{says.says}"
            yield _fault(plan, one, what)._replace(severity=says.severity, waivable=says.waivable)
        elif any(span.low_hz <= low and high <= span.high_hz for span in allowed):
            continue
        elif any(one.band.overlaps(span.low_hz, span.high_hz) for span in allowed):
            says = strength(weakest([band.status for band in facts.bands]))
            what = f"is only in part a band for wireless audio in region {plan.region.id}{says.says}"
            yield _fault(plan, one, what)._replace(severity=says.severity, waivable=says.waivable)
        else:
            what = (
                f"is in no row of region {plan.region.id}, which lists bands for wireless audio: read what holds there"
            )
            yield _fault(plan, one, what)._replace(severity="warning", waivable=True)


def _fault(plan: Plan, one: Set, what: str) -> Fault:
    tx = getattr(one.item, "tx", None)
    return Fault(
        one.at,
        f"{one.id} tunes itself anywhere from {mhz(one.band.low_hz)} to {mhz(one.band.high_hz)}, which {what}. Narrow the band on both "
        "ends if the set can, and write that; else leave it off and take another set.",
        (one.id, tx) if tx else (one.id,),
        {"low_mhz": mhz(one.band.low_hz), "high_mhz": mhz(one.band.high_hz), "band": one.band.id},
        (Mark(one.band.at, "the band", key=True),),
    )
