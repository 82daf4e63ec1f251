"""More power into a combiner's port than it takes.

What goes wrong: an overdriven input makes products of its own on every carrier that goes through the box, and in the
end a burnt input. What comes out of a socket counts, and what arrives at the box behind a first combiner.

Bad::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter, powers_mw: [10, 50, 100], power_basis: conducted}
      cmb-4: {role: combiner, ways: 4, port_max_mw: 50}
    devices: {TX-4: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-4}}
    links: {keys: {kind: ear, tx: TX-4, carrier_mhz: 505.300, power_mw: 100}}

Good::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter, powers_mw: [10, 50, 100], power_basis: conducted}
      cmb-4: {role: combiner, ways: 4, port_max_mw: 50}
    devices: {TX-4: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-4}}
    links: {keys: {kind: ear, tx: TX-4, carrier_mhz: 505.300, power_mw: 50}}

Source: the combiner's data sheet, as the plan copies it; powers add up.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.chain import model_at
from planlint.facts.ports import Arriving, arriving
from planlint.facts.route import plugged_in
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device, Model
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, value
from planlint.rules.power_wording import milliwatts

RULE = Rule(severity="error", group="link", source="the combiner's data sheet", accept={"power_mw": "higher"})

_PRECISION = 1 + 1e-9


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each port of a combiner that gets more than it takes."""
    if "devices" not in plan.values:
        yield Unchecked(("/devices",))
    for name in sorted(plan.devices):
        device = plan.devices[name]
        if device.model is not None and device.model.role != "combiner":
            continue
        users = plugged_in(plan, name)
        if device.model is None:
            if users:
                yield Unchecked((model_at(device),), (name,))
            continue
        if not users:
            continue
        if "port_max_mw" not in device.model.spec:
            yield Unchecked((f"{device.model.at}/port_max_mw",), (name, *users))
            continue
        limit = float(device.model.spec["port_max_mw"])
        for user in users:
            found = arriving(plan, user)
            if found.low_mw > limit * _PRECISION:
                yield _fault(plan, device, device.model, user, found, limit)
            elif found.high_mw > limit * _PRECISION:
                yield Unchecked(found.needs, (name, user, *found.links))


def _fault(plan: Plan, box: Device, model: Model, user: str, found: Arriving, limit: float) -> Fault:
    first = plan.links[found.links[0]]
    at_least = "at least " if found.high_mw > found.low_mw else ""
    senders = [str(plan.links[name].tx) for name in found.links]
    return Fault(
        f"{first.entry_at}/power_mw",
        f"{user} puts {at_least}{milliwatts(found.low_mw, limit)} mW into a port of {box.id}, which takes {milliwatts(limit)} "
        f"mW: it makes products on every carrier that goes through it. {_remedy(plan, found, senders, limit)}, then walk the "
        "stage with the packs.",
        (*found.links, *dict.fromkeys([*senders, user]), box.id),
        {"power_mw": value(float(f"{found.low_mw:.4g}")), "limit_mw": value(limit)},
        (
            Mark(f"{model.at}/port_max_mw", f"{model.id} takes this"),
            Mark(plan.devices[user].at, f"{user} plugs into {box.id}", key=True),
        ),
    )


def _remedy(plan: Plan, found: Arriving, senders: list[str], limit: float) -> str:
    """Say what to set: the highest setting that fits where one transmitter is concerned, else to go lower."""
    link, device = plan.links[found.links[0]], plan.devices[senders[0]]
    if len(senders) > 1 or device.model is None:
        return f"Set {joined(senders)} lower"
    settings = sorted(float(power) for power in device.model.spec.get("powers_mw", ()))
    power = link.power_mw if link.power_mw is not None else settings[0]
    fits = [setting for setting in settings if setting <= power * limit / found.low_mw * _PRECISION]
    if settings and not fits:
        return f"No power setting of {device.id} is low enough: put a unit or a combiner in that goes with it"
    return f"Set {device.id} to {milliwatts(fits[-1])} mW" if fits else f"Set {device.id} lower"
