"""One network that reaches somebody else's units.

What goes wrong: a send meant for our six units also changes the guest's six, ten minutes before their set. A unit
without `owner` counts as ours; a hired one, and one whose owner is a hire firm, too.

Bad::

    plan_format: 1
    kind: plan
    racks: {A: {holds: [TX-1], network: stage}}
    devices: {TX-1: {}, TX-G: {owner: guest act, network: stage}}

Good::

    plan_format: 1
    kind: plan
    racks: {A: {holds: [TX-1], network: stage}}
    devices: {TX-1: {}, TX-G: {owner: guest act, network: guests}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.networks import Networked, by_network
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="common practice, no source")

_HIRE = frozenset({"hire", "hired", "rental", "rented"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each network and owner of units on it beside the first."""
    networks = {name: units for name, units in by_network(plan).items() if name is not None}
    if not networks:
        needs = tuple(f"{plan.devices[name].at}/network" for name in sorted(plan.devices))
        yield Unchecked(needs or ("/devices",))
    elif not any("owner" in device.spec for device in plan.devices.values()):
        yield Unchecked(tuple(f"{unit.device.at}/owner" for units in networks.values() for unit in units))
    for name, units in networks.items():
        owners: dict[str, list[Networked]] = {}
        for unit in units:
            owners.setdefault(_owner(unit), []).append(unit)
        if len(owners) < 2:
            continue
        ours = owners.get("") or next(iter(owners.values()))
        for owner, theirs in owners.items():
            if theirs is not ours:
                yield _fault(plan, str(name), owner, ours, theirs)


def _owner(unit: Networked) -> str:
    """Return whose a unit is; an empty text stands for us."""
    owner = str(unit.device.spec.get("owner", ""))
    words = set(owner.casefold().split())
    return "" if unit.device.hired or words & _HIRE else " ".join(owner.casefold().split())


def _fault(plan: Plan, name: str, owner: str, ours: list[Networked], theirs: list[Networked]) -> Fault:
    first = theirs[0]
    ids = [unit.device.id for unit in theirs]
    whose = str(first.device.spec.get("owner", owner))
    return Fault(
        first.at,
        f"network {name} reaches {', '.join(ids)} ({whose}) as well as {ours[0].device.id}"
        f"{f' and {len(ours) - 1} more' if len(ours) > 1 else ''}: what is sent there changes theirs too. Part the switch, or "
        "name their network, before anything is sent.",
        with_links(plan, [*ids, *(unit.device.id for unit in ours)]),
        {"network": name, "owner": whose},
        (
            Mark(f"{first.device.at}/owner", f"{first.device.id} is theirs"),
            Mark(ours[0].at, f"{ours[0].device.id} is on it"),
        ),
    )
