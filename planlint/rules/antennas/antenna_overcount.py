"""Too many bare antennas on one rack.

What goes wrong: every transmitter with its own whip hears its neighbours' and sends the products of both; a row of
whips on one rack makes intermodulation that no choice of carriers removes. A combiner and one antenna end it.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}}
    racks: {A: {holds: [TX-1, TX-2, TX-3, TX-4]}}
    devices:
      TX-1: {model: tx-n, into: none}
      TX-2: {model: tx-n, into: none}
      TX-3: {model: tx-n, into: none}
      TX-4: {model: tx-n, into: none}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}}
    racks: {A: {holds: [TX-1, TX-2, TX-3]}}
    devices:
      TX-1: {model: tx-n, into: none}
      TX-2: {model: tx-n, into: none}
      TX-3: {model: tx-n, into: none}

Transmitters and combiners whose `into` is `none` count, in each rack; microphones do not, they are worn.
`policy.max_bare_antennas_per_rack` is the most.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.limits import number
from planlint.facts.route import plugged_in, plugged_into, way_of
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"bare": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each rack with more bare antennas than the house allows."""
    if "racks" not in plan.values:
        yield Unchecked(("/racks",))
    limit = int(number(plan, "max_bare_antennas_per_rack"))
    for rack in sorted(plan.section("racks")):
        senders = [device for device in _senders(plan) if device.rack == rack]
        into = {device.id: plugged_into(plan, device, "out") for device in senders}
        bare = [name for name in sorted(into) if into[name] == "none"]
        unknown = [name for name in sorted(into) if into[name] is None]
        if len(bare) > limit:
            yield _fault(plan, rack, bare, limit)
        elif len(bare) + len(unknown) > limit:
            yield Unchecked(tuple(f"{plan.devices[name].at}/into" for name in unknown), (rack, *unknown))


def _senders(plan: Plan) -> Iterator[Device]:
    for name in sorted(plan.devices):
        device = plan.devices[name]
        role = device.model.role if device.model else None
        boxed = role == "combiner" and device.spec.get("into") == "none"
        if boxed or (role not in {"mic-transmitter", "combiner"} and way_of(plan, device) == "out"):
            yield device


def _fault(plan: Plan, rack: str, bare: list[str], limit: int) -> Fault:
    combiner = next((device.id for device in plan.devices.values() if _takes(plan, device, bare)), None)
    put = f"Put them through {combiner}" if combiner else "Put them through a combiner with one antenna"
    return Fault(
        f"/racks/{escape(rack)}/holds",
        f"Rack {rack}: {len(bare)} bare antennas ({', '.join(bare)}), limit {limit}. {put}, or move some to another rack: "
        "side by side they make intermodulation that no choice of carriers removes, and every pack hears it.",
        (rack, *bare),
        {"bare": len(bare), "limit": limit},
        tuple(Mark(f"{plan.devices[name].at}/into", f"{name} has its own antenna") for name in bare),
    )


def _takes(plan: Plan, device: Device, bare: list[str]) -> bool:
    """Say whether a device is a combiner with a free port for each of these."""
    if device.model is None or device.model.role != "combiner" or device.id in bare:
        return False
    return int(device.model.spec.get("ways", 0)) >= len(plugged_in(plan, device.id)) + len(bare)
