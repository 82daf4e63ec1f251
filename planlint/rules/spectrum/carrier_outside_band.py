"""A carrier in no band that the region allows.

What goes wrong: the unit tunes there, the law does not. Licences, fines and other people's emergencies hang on
it. Which rows are allowed stands in the region file, each with its document and whether it was read.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    links: {hand: {kind: mic, carrier_mhz: 466.000}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    links: {hand: {kind: mic, carrier_mhz: 560.000}}

Source: the region file's rows (for `us`: 47 CFR parts 15 and 74); each says whether it was read.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spectrum import Band, closed_at, weakest
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who

RULE = Rule(severity="error", group="law", source="the region file's rows", law=True)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each carrier outside every allowed row."""
    yield from lacking(plan, facts)
    if plan.region is None:
        return
    says = strength(weakest([band.status for band in facts.bands]))
    for link, carrier, low, high in carried(plan, facts):
        if closed_at(plan.region, low, high) or any(band.low_hz <= carrier <= band.high_hz for band in facts.bands):
            continue
        yield Fault(
            link.carrier_at,
            f"{link.id} {mhz(carrier)} is in no band for wireless audio in region {plan.region.id}{says.says}. "
            f"{_nearest(facts.bands, carrier)} Choose another carrier for every unit on the link, or another unit.",
            who(link),
            {"carrier_mhz": mhz(carrier)},
            severity=says.severity,
            waivable=says.waivable,
        )


def _nearest(bands: tuple[Band, ...], carrier: int) -> str:
    if not bands:
        return "The region lists none."
    band = min(bands, key=lambda band: min(abs(band.low_hz - carrier), abs(band.high_hz - carrier)))
    return f"The nearest runs from {mhz(band.low_hz)} to {mhz(band.high_hz)}."
