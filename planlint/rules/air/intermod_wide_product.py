"""An intermodulation product whose centre misses a carrier and whose width does not.

What goes wrong: a product of two modulated carriers is wider than either: 2A - B is as wide as twice A's emission and
B's together. Its centre stands clear and its skirt comes in when both are loud: spit on loud passages and nothing in
between, so nobody finds it.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.100}
      keys: {kind: ear, carrier_mhz: 506.700}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.100}
      keys: {kind: ear, carrier_mhz: 507.300}

Judged are products of two signals, third order: 2A - B and its companions, of which one relation is one finding, and for
each link only the nearest; whatever is nearer than the house's limit is `intermod-two-signal-third`. Products of three
signals are as wide, and so many that nobody would read them. Note: it says where to listen, not what to move.

Source: the width of a product is the sum of its signals' widths, each times its coefficient (an FM deviation is
multiplied; computed).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.wide import Wide, nearest
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.pairs import lacking_carriers

RULE = Rule(
    severity="note",
    group="margin",
    source="sum of the widths times their coefficients, computed",
    accept={"offset_khz": "lower"},
    switch="intermod_khz.two_signal_third",
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for the nearest such relation of each link, each relation once."""
    yield from lacking_carriers(plan, facts)
    for wide in nearest(facts):
        yield _fault(plan, facts, wide)


def _fault(plan: Plan, facts: Facts, wide: Wide) -> Fault:
    first = wide.ids[0]
    ours = [name for name in wide.outer if name in plan.links] or [wide.middle]
    return Fault(
        facts.carrier_at(first),
        f"{wide.text} misses by {khz(wide.offset_hz)} kHz and is {khz(wide.width_hz)} kHz wide when both sing: its skirt reaches "
        f"{joined(list(wide.outer), 'or')}. Listen to {joined(ours)} for spit on loud passages, with all transmitters on; "
        "less power on all of them takes it down three times as fast as the signal.",
        wide.ids,
        {
            "relation": wide.text,
            "offset_khz": khz_number(wide.offset_hz),
            "product_khz": khz_number(wide.width_hz),
            "reach_khz": khz_number(int(wide.reach_hz)),
        },
        tuple(
            Mark(facts.carrier_at(name), f"{name} {mhz(facts.carriers[name])}") for name in wide.ids if name != first
        ),
        rank=wide.offset_hz,
    )
