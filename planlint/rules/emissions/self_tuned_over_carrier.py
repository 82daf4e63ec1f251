"""A set that picks its own carrier, in a band where somebody has a fixed one at the same time.

What goes wrong: the set looks once, at power-up, while the microphone beside it is still off. It settles on the spot, and the
microphone comes on under it. It may be nobody's fault, and it is in the middle of a song.

Bad::

    plan_format: 1
    kind: plan
    spectrum: {self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}}}
    links:
      calls: {kind: comms, self_tuned: upper}
      mic-1: {kind: mic, carrier_mhz: 944.000}

Good::

    plan_format: 1
    kind: plan
    spectrum: {self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}}}
    links:
      calls: {kind: comms, self_tuned: upper}
      mic-1: {kind: mic, carrier_mhz: 941.400}

The emission's edges are compared with the band's; edges that touch pass.

Source: overlap of bands; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.self_tuning import Set, fixed_in, sets
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.pairs import lacking_carriers
from planlint.rules.self_tuned_wording import lacking_bands

RULE = Rule(severity="warning", group="link", source="overlap of bands; common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each self-tuning set with fixed carriers in its band; one of the two is ours."""
    yield from lacking_bands(plan)
    found = sets(plan)
    if not found:
        return
    yield from lacking_carriers(plan, facts)
    for one in found:
        within = [name for name in fixed_in(facts, one) if one.ours or name in plan.links]
        if within:
            yield _fault(facts, one, within)


def _fault(facts: Facts, one: Set, within: list[str]) -> Fault:
    carriers = joined(f"{name} {mhz(facts.carriers[name])}" for name in within)
    ask = "" if one.ours else f" Ask {getattr(one.item, 'who', None) or 'whoever runs it'}."
    return Fault(
        one.at,
        f"{one.id} tunes itself from {mhz(one.band.low_hz)} to {mhz(one.band.high_hz)} and may settle on {carriers}, on at the same time."
        f"{ask} Narrow its band on both ends if it can, or move {'it' if len(within) == 1 else 'them'} out of the band, at both ends.",
        (one.id, *within),
        {"band": one.band.id, "carriers": len(within)},
        tuple(Mark(facts.carrier_at(name), f"{name} is in the band") for name in within),
    )
