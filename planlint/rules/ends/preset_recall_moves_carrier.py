"""A preset stored in a unit that brings back another carrier than tonight's.

What goes wrong: somebody recalls the preset for its audio settings and the carrier comes along; the other end
stays. It undoes the afternoon's work without a word.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-3: {preset: {taken: "2025-10-04", carrier_mhz: 501.100}}}
    links: {bass: {kind: ear, tx: TX-3, carrier_mhz: 499.850}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-3: {preset: {taken: "2026-03-13", carrier_mhz: 499.850}}}
    links: {bass: {kind: ear, tx: TX-3, carrier_mhz: 499.850}}

Source: equality of carriers; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from planlint.facts import Facts
from planlint.facts.ends import ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device, Link
from planlint.plan.quantity import khz_number, mhz, to_hz
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="equality of carriers")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit with a preset that is on none of the carriers the unit is used on."""
    if "devices" not in plan.values:
        yield Unchecked(("/devices",))
    with_preset = [name for name in sorted(plan.devices) if plan.devices[name].spec.get("preset") is not None]
    on_links = _links(plan) if with_preset else {}
    for name in with_preset:
        device, links = plan.devices[name], on_links.get(name, [])
        preset = device.spec["preset"]
        if not links:
            continue
        unknown = tuple(link.carrier_at for link in links if link.carrier_hz is None)
        if "carrier_mhz" not in preset:
            unknown = (f"{device.at}/preset/carrier_mhz",)
        if unknown:
            yield Unchecked(unknown, (name, *(link.id for link in links)))
            continue
        back = to_hz(preset["carrier_mhz"], "mhz")
        if all(link.carrier_hz != back for link in links):
            yield _fault(device, preset, back, links[0])


def _links(plan: Plan) -> dict[str, list[Link]]:
    """Return the links that each unit is used on tonight, listening aside, by unit."""
    found: dict[str, list[Link]] = {}
    for name in sorted(plan.links):
        if plan.links[name].wants_carrier:
            for end in ends(plan, plan.links[name]):
                if end.job != "listens":
                    found.setdefault(end.device, []).append(plan.links[name])
    return found


def _fault(device: Device, preset: Mapping[str, Any], back: int, link: Link) -> Fault:
    now = link.carrier_hz or 0
    taken = f" of {preset['taken']}" if "taken" in preset else ""
    return Fault(
        f"{device.at}/preset/carrier_mhz",
        f"the preset{taken} in {device.id} brings back {mhz(back)}; {link.id} is on {mhz(now)} tonight. Store it again "
        f"on {mhz(now)}, or do not recall it: recalled at one end, it parts {device.id} from the rest of {link.id}.",
        (device.id, link.id),
        {"preset_mhz": mhz(back), "carrier_mhz": mhz(now), "off_khz": khz_number(abs(back - now))}
        | ({"taken": preset["taken"]} if "taken" in preset else {}),
        (Mark(link.carrier_at, "tonight's carrier"),),
    )
