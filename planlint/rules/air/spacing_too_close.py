"""Neighbouring carriers too near each other.

What goes wrong: the receiver's filter lets the neighbour in; the pack loses range, then mutes. Like kinds are
judged by the house's spacing (unwritten: twice the widest emission of the two), any other pair, and an ear and
a microphone whose emissions overlap, by half the sum of both emissions.

Bad::

    plan_format: 1
    kind: plan
    links:
      keys: {kind: ear, carrier_mhz: 498.550}
      tech: {kind: ear, carrier_mhz: 498.925}

Good::

    plan_format: 1
    kind: plan
    links:
      keys: {kind: ear, carrier_mhz: 498.550}
      tech: {kind: ear, carrier_mhz: 498.950}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spacing import too_close
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers, moves_with, pairs

RULE = Rule(severity="error", group="link", source="common practice, no source", accept={"spacing_khz": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pair of links on the air together that is nearer than its limit."""
    yield from lacking_carriers(plan, facts)
    for first, second in pairs(plan, facts, others=False):
        near = too_close(plan, facts, first, second)
        if near is not None:
            low, high = sorted((first, second), key=lambda name: facts.carriers[name])
            yield Fault(
                facts.carrier_at(first),
                f"{low} {mhz(facts.carriers[low])} and {high} {mhz(facts.carriers[high])} are {khz(near.gap_hz)} kHz apart; "
                f"limit {khz(near.limit_hz)}. Move one by {khz(near.limit_hz - near.gap_hz)} kHz or more, at both "
                f"ends.{moves_with(facts, first, second)}",
                (first, second),
                {"spacing_khz": khz_number(near.gap_hz), "limit_khz": khz_number(near.limit_hz)},
                (Mark(facts.carrier_at(second), f"{second} {mhz(facts.carriers[second])}"),),
                rank=near.gap_hz,
            )
