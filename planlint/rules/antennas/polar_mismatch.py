"""An antenna turned flat for packs and microphones that are upright.

What goes wrong: a paddle laid on its side hears and reaches an upright whip up to 20 dB weaker, by where people turn.
Standing it up costs nothing.

Bad::

    plan_format: 1
    kind: plan
    antennas: {ear-out: {for: ear, polarization: horizontal}}

Good::

    plan_format: 1
    kind: plan
    antennas: {ear-out: {for: ear, polarization: vertical}}

A horizontal antenna beside one of another polarization at the same receivers is diversity by polarization, and no
fault. Slanted and circular ones lose about 3 dB to anything upright, wherever people turn, and pass.

Source: 20 dB is common practice, no source (between straight wires at right angles theory leaves nothing; walls and
people turn part of it).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import links_on, uses
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each horizontal antenna that no other antenna at the same receivers makes up for."""
    if "antennas" not in plan.values:
        yield Unchecked(("/antennas",))
    section = plan.section("antennas")
    turned = {name: section[name].get("polarization") for name in sorted(section)}
    for name, polarization in turned.items():
        at = f"/antennas/{escape(name)}/polarization"
        users = links_on(plan, name)
        beside = {
            other
            for use in uses(plan, "in")
            if name in use.route.antennas
            for other in use.route.antennas
            if other != name
        }
        if polarization is None:
            yield Unchecked((at,), (name, *(link.id for link in users)))
        elif polarization == "horizontal" and not any(turned[other] not in {None, "horizontal"} for other in beside):
            yield Fault(
                at,
                f"{name} lies horizontal, packs and microphones are upright: up to 20 dB weaker, by where people turn. Stand "
                f"{name} upright, then walk the stage with the farthest of them.",
                (name, *(link.id for link in users)),
                {"polarization": "horizontal"},
            )
