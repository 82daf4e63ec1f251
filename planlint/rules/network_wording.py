"""What the rules about network addresses share: what is missing to judge them."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts.networks import networked
from planlint.finding import Unchecked
from planlint.plan import Plan


def lacking_addresses(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where no unit has an address, or one on a network has none."""
    units = list(networked(plan))
    if not any(unit.address is not None for unit in units):
        needs = tuple(unit.address_at for unit in units) or tuple(
            f"{plan.devices[name].at}/address" for name in sorted(plan.devices)
        )
        yield Unchecked(needs or ("/devices",))
        return
    for unit in units:
        if unit.address is None:
            yield Unchecked((unit.address_at,), (unit.device.id,))
