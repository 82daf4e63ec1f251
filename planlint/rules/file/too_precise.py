"""A carrier written finer than its units can be tuned.

What goes wrong: 505.3004 is a slip of the keyboard or a figure out of somebody's sum. The unit shows 505.300, the
plan says something else, and the next person trusts neither. Three decimals of a MHz are enough unless a step of
a unit on the link needs more (12.5 kHz needs four). Where a step is not written, four and five decimals are not
checked; somebody else's carrier may have five; more than five suit no unit.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}}
    devices: {TX-1: {model: tx-n}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.3004}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}}
    devices: {TX-1: {model: tx-n}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300}}

Source: the models' steps, as the plan copies them; three and five decimals (steps of 1 kHz and of 6.25 kHz) are
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from planlint.facts import Facts
from planlint.facts.written_carriers import Written, written_carriers
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Model
from planlint.plan.quantity import decimals
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="tidy", source="the models' steps; common practice, no source")

ENOUGH = 3
FINEST = 5


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each carrier with more decimals than its units' steps need."""
    for written in written_carriers(plan):
        count = decimals(written.mhz)
        needed = max([ENOUGH, *(_needed(model) for model in written.models)])
        if count <= needed or (written.steps_unknowable and count <= FINEST):
            continue
        if written.unknown_steps and count <= FINEST:
            yield Unchecked(written.unknown_steps, written.subjects)
        else:
            yield _fault(written, count, FINEST if written.unknown_steps or written.steps_unknowable else needed)


def _needed(model: Model) -> int:
    """Return how many decimals of a MHz a model's carriers need: those of its steps and of its ranges' lower ends."""
    starts = [tuning.low_hz for tuning in model.tuning]
    return max(_places([model.step_hz or 0]), _places(starts))


def _places(hertz: Iterable[int]) -> int:
    return max((decimals(Decimal(value).scaleb(-6).normalize()) for value in hertz), default=0)


def _fault(written: Written, count: int, needed: int) -> Fault:
    shorter = f"{round(Decimal(written.mhz), needed):f}"
    why = "no unit is tuned so finely" if needed == FINEST else f"its units' steps need {needed}"
    return Fault(
        written.at,
        f"{written.name} {written.mhz} has {count} decimals; {why}. Write {shorter}, or what the units show, and see "
        "that both ends show it.",
        written.subjects,
        {"decimals": count, "needed": needed},
        fix=f"write {shorter}",
    )
