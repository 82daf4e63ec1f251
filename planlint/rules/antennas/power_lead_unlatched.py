"""Power leads of a rack that nothing holds.

What goes wrong: somebody steps behind the rack, a plug comes half out, and a mix is gone, or all of them. A latch, a
clamp or a loop through the rack's bar holds it.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, TX-2: {}}
    racks: {A: {holds: [TX-1, TX-2], power_leads: loose}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, TX-2: {}}
    racks: {A: {holds: [TX-1, TX-2], power_leads: latched}}

Mains wiring itself is for people trained for it, by local codes.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each rack whose power leads are loose."""
    if "racks" not in plan.values:
        yield Unchecked(("/racks",))
    for rack, spec in sorted(plan.section("racks").items()):
        at = f"/racks/{escape(rack)}"
        units = [str(name) for name in spec.get("holds", ())]
        if "power_leads" not in spec:
            yield Unchecked((f"{at}/power_leads",), (rack,))
        elif spec["power_leads"] == "loose":
            yield Fault(
                f"{at}/power_leads",
                f"Rack {rack}: nothing holds the power leads of {', '.join(units) or 'its units'}. Latch, clamp or loop each one: "
                "a kicked plug is a dead mix.",
                (rack, *units),
                {"power_leads": "loose"},
                (Mark(f"{at}/holds", f"what rack {rack} holds"),) if units else (),
            )
