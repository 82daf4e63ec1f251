"""An act that nobody wrote when it is off the air.

What goes wrong: the act before us plays on, or leaves its rack on; without a time everything of theirs counts as on for
good, and we plan around ghosts or run into them.

Bad::

    plan_format: 1
    kind: plan
    acts: {harp: {stage: main, line_check: "19:30", at: "20:00"}}

Good::

    plan_format: 1
    kind: plan
    acts: {harp: {stage: main, line_check: "19:30", at: "20:00", until: "20:40"}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.festival_wording import ask, lacking_acts

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each act without an end."""
    yield from lacking_acts(plan)
    for act in plan.acts:
        if act.end_min is None:
            yield Fault(
                act.at,
                f"{act.id}: no time at which they are off the air; they count as on for good. Ask {ask(act)} when their last "
                "transmitter goes off, racks included, and write until.",
                act.holds,
                {"act": act.id},
                key=True,
            )
