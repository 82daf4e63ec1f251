"""Two units with one network address.

What goes wrong: both answer, or neither, and what is sent to one is shown by the other. Units on networks of
different names may share an address; `automatic` is no address.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-6: {address: 10.0.4.16}, RX-1: {address: 10.0.4.16}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-6: {address: 10.0.4.16}, RX-1: {address: 10.0.4.21}}

Source: RFC 791 (1981): an address names one host; from memory, not verified.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.networks import Networked, networked
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.network_wording import lacking_addresses

RULE = Rule(severity="error", group="link", source="RFC 791, from memory, not verified")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit whose address an earlier one has on what may be the same network."""
    yield from lacking_addresses(plan)
    seen: dict[str, list[Networked]] = {}
    for unit in networked(plan):
        if not unit.fixed:
            continue
        address = str(unit.address)
        twin = next((other for other in seen.get(address, ()) if _may_meet(unit, other)), None)
        seen.setdefault(address, []).append(unit)
        if twin is not None:
            names = (twin.device.id, unit.device.id)
            yield Fault(
                unit.address_at,
                f"{names[0]} and {names[1]} both have {address}. Give one of them another, in the unit and here, and look at "
                "what was sent to it.",
                with_links(plan, names),
                {"address": address},
                (Mark(twin.address_at, f"{names[0]} has it too"),),
            )


def _may_meet(one: Networked, two: Networked) -> bool:
    return one.network is None or two.network is None or one.network == two.network
