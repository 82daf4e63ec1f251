"""A carrier between the steps of a unit.

What goes wrong: one end rounds it up, the other down; both displays look right from a metre away. A carrier is
the range's lower end plus a whole number of steps, for every unit on the link.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}}
    devices: {TX-1: {model: tx-n}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.310}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}}
    devices: {TX-1: {model: tx-n}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300}}

Source: the models' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import ends, ranges_of
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.tuning import judged, lacking

RULE = Rule(severity="error", group="link", source="the models' data sheets")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit that cannot stand exactly on its link's carrier."""
    yield from lacking(plan, facts, step=True)
    for link, carrier in judged(plan):
        for end in ends(plan, link):
            if end.model is None or not end.model.step_hz:
                continue
            rests = {r.low_hz: (carrier - r.low_hz) % end.model.step_hz for r in ranges_of(end.model, carrier)}
            if rests and all(rests.values()):
                low, rest = next(iter(rests.items()))
                below, above = carrier - rest, carrier - rest + end.model.step_hz
                yield Fault(
                    link.carrier_at,
                    f"{link.id} {mhz(carrier)} is between the steps of {end.device} ({khz(end.model.step_hz)} kHz from "
                    f"{mhz(low)}): it will show {mhz(below)} or {mhz(above)}, the other end perhaps not. Write one that "
                    "all its units have and enter it at both ends.",
                    (link.id, end.device),
                    {"carrier_mhz": mhz(carrier), "below_mhz": mhz(below), "above_mhz": mhz(above)},
                    (Mark(end.at, f"{end.device} is on the link here", key=True),),
                )
