"""Two links on one carrier at the same time.

What goes wrong: both packs hear both mixes, or the stronger one. It happens when a spare is put to use and the
sheet is not.

Bad::

    plan_format: 1
    kind: plan
    links:
      keys: {kind: ear, carrier_mhz: 498.550}
      tech: {kind: ear, carrier_mhz: 498.550}

Good::

    plan_format: 1
    kind: plan
    links:
      keys: {kind: ear, carrier_mhz: 498.550}
      tech: {kind: ear, carrier_mhz: 500.025}

Source: equality of carriers; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers, moves_with, pairs

RULE = Rule(severity="error", group="link", source="equality of carriers")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pair of links on the air together with equal carriers."""
    yield from lacking_carriers(plan, facts)
    for first, second in pairs(plan, facts, others=False):
        if facts.carriers[first] == facts.carriers[second]:
            carrier = mhz(facts.carriers[first])
            yield Fault(
                facts.carrier_at(first),
                f"{first} and {second} are both on {carrier} at the same time: each hears the other. Move one: its "
                f"transmitter, every pack or receiver on it, and every listening list.{moves_with(facts, first, second)}",
                (first, second),
                {"carrier_mhz": carrier},
                (Mark(facts.carrier_at(second), f"{second} is here too"),),
            )
