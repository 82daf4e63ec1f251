"""An open port on a passive combiner or splitter.

What goes wrong: a passive box shares power rightly only with all its ports loaded; an open one reflects, the isolation
between the others falls, and the products of neighbours rise. A 50 ohm load on each open port costs a few coins.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}, cmb-4: {role: combiner, active: false, ways: 4}}
    devices: {TX-1: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-4, loaded_ports: 0}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}, cmb-4: {role: combiner, active: false, ways: 4}}
    devices: {TX-1: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-4, loaded_ports: 3}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.chain import model_at
from planlint.facts.route import plugged_in
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device, Model
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each passive box with open ports that carry no load."""
    if "devices" not in plan.values:
        yield Unchecked(("/devices",))
    for name in sorted(plan.devices):
        device = plan.devices[name]
        if device.model is not None and device.model.role not in {"combiner", "splitter"}:
            continue
        users = plugged_in(plan, name)
        if device.model is None:
            if users:
                yield Unchecked((model_at(device),), (name,))
            continue
        if not users or device.model.spec.get("active") is True:
            continue
        lacking = [key for key in ("active", "ways") if key not in device.model.spec]
        if lacking:
            yield Unchecked(tuple(f"{device.model.at}/{key}" for key in lacking), (name,))
            continue
        unused = int(device.model.spec["ways"]) - len(users)
        loads = device.spec.get("loaded_ports")
        if unused > 0 and loads is None:
            yield Unchecked((f"{device.at}/loaded_ports",), (name,))
        elif loads is not None and unused > int(loads):
            yield _fault(device, device.model, users, unused, int(loads))


def _fault(device: Device, model: Model, users: tuple[str, ...], unused: int, loads: int) -> Fault:
    left = unused - loads
    products = f" and the products of {joined(users)} rise" if model.role == "combiner" and len(users) > 1 else ""
    return Fault(
        f"{device.at}/loaded_ports",
        f"{device.id}: {left} of its {model.spec['ways']} ports {'are' if left > 1 else 'is'} open, without a load; the "
        f"isolation between its ports falls{products}. Put {left} 50 ohm load{'s' if left > 1 else ''} on.",
        (device.id, *users),
        {"open": left, "ways": int(model.spec["ways"]), "loaded": loads},
        (Mark(f"{model.at}/ways", f"{model.id} has {model.spec['ways']} ways"),),
    )
