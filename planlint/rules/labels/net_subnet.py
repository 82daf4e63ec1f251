"""A unit on another subnet than its network's others, or with an automatic address beside fixed ones.

What goes wrong: the unit shines green and cannot be reached from the desk, or it changes its address after lunch.
The plan writes no subnet mask, so a prefix of /24 is taken (option `prefix_bits`); the message says so.

Bad::

    plan_format: 1
    kind: plan
    devices: {RX-1: {address: 10.0.4.21}, RX-2: {address: 10.0.4.22}, RX-4: {address: automatic}}

Good::

    plan_format: 1
    kind: plan
    devices: {RX-1: {address: 10.0.4.21}, RX-2: {address: 10.0.4.22}, RX-4: {address: 10.0.4.24}}

Units of one network by its name are compared; those of no named network stand together.

Source: RFC 4632 (2006), section 3: prefixes; /24 is common practice, no source. From memory, not verified.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, NamedTuple

from planlint.facts import Facts
from planlint.facts.networks import Networked, by_network
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import Between, Rule
from planlint.rules.network_wording import lacking_addresses

if TYPE_CHECKING:
    from ipaddress import IPv4Network

RULE = Rule(
    severity="warning", group="margin", source="RFC 4632, from memory, not verified; /24: common practice, no source"
)


class Options(NamedTuple):
    """The prefix taken for every network, in bits: 24 leaves 254 addresses."""

    prefix_bits: Annotated[int, Between(1, 30)] = 24


def check(plan: Plan, facts: Facts, options: Options) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit that its network's others do not reach."""
    yield from lacking_addresses(plan)
    for name, units in by_network(plan).items():
        fixed = [(unit, _subnet(unit, options.prefix_bits)) for unit in units if unit.fixed]
        if not fixed:
            continue
        count: dict[IPv4Network, int] = {}
        for _, subnet in fixed:
            count[subnet] = count.get(subnet, 0) + 1
        usual = min(count, key=lambda subnet: (-count[subnet], subnet))
        first = next(unit for unit, subnet in fixed if subnet == usual)
        where = f" on network {name}" if name else ""
        for unit, subnet in fixed:
            if subnet != usual:
                what = (
                    f"{unit.address} is in {subnet}, {first.device.id}{where} in {usual} (/{options.prefix_bits} taken)"
                )
                yield _fault(plan, unit, first, what, str(usual), "Give it an address there, in the unit and here.")
        for unit in units:
            if unit.address == "automatic":
                what = f"its address is automatic, and {first.device.id}{where} has the fixed address {first.address}"
                yield _fault(
                    plan,
                    unit,
                    first,
                    what,
                    str(usual),
                    "Fix this one too, or make all automatic, in the units and here.",
                )


def _subnet(unit: Networked, prefix_bits: int) -> IPv4Network:
    from ipaddress import IPv4Network

    return IPv4Network((str(unit.address), prefix_bits), strict=False)


def _fault(plan: Plan, unit: Networked, first: Networked, what: str, usual: str, do: str) -> Fault:
    return Fault(
        unit.address_at,
        f"{unit.device.id}: {what}. They may not reach each other. {do}",
        with_links(plan, [unit.device.id]),
        {"address": str(unit.address), "subnet": usual},
        (Mark(first.address_at, f"{first.device.id} is here"),),
    )
