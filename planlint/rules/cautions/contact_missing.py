"""Somebody shares out frequencies here, and the plan does not say how to reach them.

What goes wrong: at 18:50 a stranger is on our carrier, and the one person who knows every transmitter in the building
is on a radio channel that nobody wrote down. A role and a way are enough; a telephone number belongs in a file that git
ignores. `coordinator: {}` says that nobody does this here.

Bad::

    plan_format: 1
    kind: plan
    show: {coordinator: {who: house frequency coordinator}}

Good::

    plan_format: 1
    kind: plan
    show: {coordinator: {who: house frequency coordinator, reached_by: "house radio, channel 2"}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where a coordinator is written without a way to reach them."""
    coordinator = plan.show.get("coordinator")
    if not isinstance(coordinator, dict):
        yield Unchecked(("/show/coordinator",))
    elif "who" in coordinator and "reached_by" not in coordinator:
        yield Fault(
            "/show/coordinator/who",
            f"{coordinator['who']}: the plan does not say how to reach them at 18:50. Write reached_by: a radio channel, a desk, "
            "or where the number is kept.",
            (),
            {"who": str(coordinator["who"])},
            fix="write reached_by",
        )
