"""Two self-tuning bands that overlap, so that their sets take each other's channels uncounted.

What goes wrong: our sets and the house's are written with a band each, and each band has channels enough for its own. They
are the same air.

Bad::

    plan_format: 1
    kind: plan
    spectrum:
      self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}, theirs: {low_mhz: 950.000, high_mhz: 956.000}}
      others_on_air: {house: {kind: comms, self_tuned: theirs}}
    links: {calls: {kind: comms, self_tuned: upper}}

Good::

    plan_format: 1
    kind: plan
    spectrum:
      self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}, theirs: {low_mhz: 952.000, high_mhz: 956.000}}
      others_on_air: {house: {kind: comms, self_tuned: theirs}}
    links: {calls: {kind: comms, self_tuned: upper}}

Sets of the same kind that share their channels belong into one band, where they are counted. Edges that touch pass.

Source: overlap of bands; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from planlint.facts import Facts
from planlint.facts.self_tuning import Band, Set, sets
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.self_tuned_wording import lacking_bands

RULE = Rule(severity="warning", group="margin", source="overlap of bands; common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each two bands that overlap and have sets on at the same time, one of them ours."""
    found = sets(plan)
    yield from lacking_bands(plan)
    reported: set[tuple[str, str]] = set()
    for one, other in combinations(found, 2):
        low, high = sorted((one.band, other.band), key=lambda band: band.id)
        both = (low.id, high.id)
        if low.id == high.id or both in reported or not (one.ours or other.ours):
            continue
        if low.overlaps(high.low_hz, high.high_hz) and facts.meet(one.id, other.id):
            reported.add(both)
            yield _fault(low, high, [each for each in found if each.band.id in both])


def _fault(first: Band, second: Band, members: list[Set]) -> Fault:
    low, high = max(first.low_hz, second.low_hz), min(first.high_hz, second.high_hz)
    return Fault(
        first.at,
        f"Bands {first.id} and {second.id} share {mhz(low)}-{mhz(high)}: {joined(one.id for one in members)} take each other's channels, and "
        "nobody counts them. Narrow one band at both ends, or write one band with its channels for all of them.",
        tuple(one.id for one in members),
        {"band": first.id, "other_band": second.id, "low_mhz": mhz(low), "high_mhz": mhz(high)},
        (Mark(second.at, f"band {second.id}", key=True),),
        key=True,
    )
