"""Which unit is on which network, at which address."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Device, Plan


class Networked(NamedTuple):
    """A unit on a network.

    Attributes:
        device: the unit.
        network: the network's name, its own or its rack's; None where neither is written.
        at: pointer to where the name is written, or belongs.
        address: its fixed address, `automatic`, or None where it is unwritten.
    """

    device: Device
    network: str | None
    at: str
    address: str | None

    @property
    def fixed(self) -> bool:
        """Whether the unit has an address of its own."""
        return self.address not in {None, "automatic"}

    @property
    def address_at(self) -> str:
        """The pointer to the address."""
        return f"{self.device.at}/address"


def networked(plan: Plan) -> Iterator[Networked]:
    """Yield each unit that has an address or is on a network, by id."""
    racks = plan.section("racks")
    for name in sorted(plan.devices):
        device = plan.devices[name]
        rack = racks.get(device.rack) if device.rack is not None else None
        of_rack = rack.get("network") if isinstance(rack, dict) else None
        own, address = device.spec.get("network"), device.spec.get("address")
        if own is None and of_rack is None and address is None:
            continue
        at = f"{device.at}/network"
        if own is None and of_rack is not None:
            at = f"/racks/{escape(str(device.rack))}/network"
        yield Networked(device, own if own is not None else of_rack, at, address)


def by_network(plan: Plan) -> dict[str | None, list[Networked]]:
    """Return the units of each network by its name; those of no named network stand under None."""
    found: dict[str | None, list[Networked]] = {}
    for unit in networked(plan):
        found.setdefault(unit.network, []).append(unit)
    return {name: found[name] for name in sorted(found, key=lambda name: (name is not None, name or ""))}
