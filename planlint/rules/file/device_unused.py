"""A unit that has nothing to do: on no link, in no chain, in no user group.

What goes wrong: a box is carried, racked and labelled, and the night somebody needs a spare nobody knows whether
it works or what it is set to; or a link was deleted and its unit left behind. A combiner or splitter has something
to do where a unit or antenna is plugged into it, or where it stands in a rack with units of a link.

Bad::

    plan_format: 1
    kind: plan
    devices: {HH-1: {}, RX-1: {}, RX-4: {}}
    links: {mic-1: {kind: mic, mic: HH-1, rx: RX-1}}

Good::

    plan_format: 1
    kind: plan
    devices: {HH-1: {}, RX-1: {}}
    links: {mic-1: {kind: mic, mic: HH-1, rx: RX-1}}

Units of role `other` (switches, chargers) are not asked what they are for.

Source: set difference of the plan's own ids; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="set difference of the plan's ids")

_IN_A_CHAIN = frozenset({"combiner", "splitter"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit that nothing in the plan uses."""
    for section in ("devices", "links"):
        if not plan.section(section):
            yield Unchecked((f"/{section}",))
            return
    on_links = _on_links(plan)
    used = on_links | _in_chains(plan) | _with_stored_carriers(plan)
    busy_racks = {plan.devices[name].rack for name in on_links if name in plan.devices} - {None}
    for name in sorted(plan.devices.keys() - used):
        device = plan.devices[name]
        role = device.model.role if device.model else None
        if role == "other" or (role in _IN_A_CHAIN and device.rack in busy_racks):
            continue
        if device.model is None and device.rack in busy_racks:
            yield Unchecked((f"{device.at}/model",), (name,))  # perhaps the rack's combiner
            continue
        yield _fault(device, role)


def _fault(device: Device, role: str | None) -> Fault:
    where = f" (rack {device.rack})" if device.rack else ""
    what = f"{device.id}{where}{f', {role},' if role else ''} is on no link, in no antenna chain and in no user group"
    return Fault(
        device.at,
        f"{what}: leave it at home, or write what it is for.",
        (device.id,),
        fix=f"delete {device.id}, or put it on a link",
        key=True,
    )


def _on_links(plan: Plan) -> set[str]:
    found: set[str] = set()
    for link in plan.links.values():
        found.update(unit for unit in (link.tx, link.rx) if unit)
        found.update(str(link.spec[key]) for key in ("tx", "mic") if key in link.spec)
        found.update(pack.id for pack in link.packs)
    return found


def _in_chains(plan: Plan) -> set[str]:
    sections = (("devices", "into"), ("antennas", "through"))
    return {
        str(spec[key])
        for section, key in sections
        for spec in plan.section(section).values()
        if isinstance(spec, dict) and key in spec
    }


def _with_stored_carriers(plan: Plan) -> set[str]:
    found = {str(name) for name in plan.section("group_overrides_mhz")}
    for spec in plan.section("groups").values():
        found.update(spec.get("stored_in", ()) if isinstance(spec, dict) else ())
    return found
