"""More units on a combiner or splitter than it has ports.

What goes wrong: the last cable has nowhere to go, and its unit ends up with a whip beside the combiner. Written
`into` counts, and what an unwritten one means: the only combiner (for transmitters) or splitter (for receivers)
of the unit's rack.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}, cmb-2: {role: combiner, ways: 2}}
    devices:
      TX-1: {model: tx-n, into: CMB-A}
      TX-2: {model: tx-n, into: CMB-A}
      TX-3: {model: tx-n, into: CMB-A}
      CMB-A: {model: cmb-2}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter}, cmb-2: {role: combiner, ways: 2}}
    devices:
      TX-1: {model: tx-n, into: CMB-A}
      TX-2: {model: tx-n, into: CMB-A}
      CMB-A: {model: cmb-2}

Source: the combiner's data sheet; counting.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.chain import model_at
from planlint.facts.route import BOX_ROLES, plugged_in, plugged_into, way_of
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="the combiner's data sheet")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each combiner or splitter with more units than ways."""
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
        ways, unknown = device.model.spec.get("ways"), _unknown(plan, device.model.role)
        if not (users or unknown):
            continue
        if ways is None:
            yield Unchecked((f"{device.model.at}/ways",), (name,))
        elif len(users) <= ways < len(users) + len(unknown):
            yield Unchecked(tuple(f"{plan.devices[user].at}/into" for user in unknown), (name, *unknown))
        elif len(users) > ways:
            over = users[ways:]
            yield Fault(
                f"{device.at}/model",
                f"{name} has {ways} ports and {len(users)} units plug into it ({', '.join(users)}). Give "
                f"{' and '.join(over)} another {device.model.role} or antenna, or leave {'them' if len(over) > 1 else 'it'} "
                "out: there is no socket left.",
                (name, *users),
                {"units": len(users), "ways": int(ways)},
                (
                    Mark(f"{device.model.at}/ways", f"{device.model.id} has {ways} ways"),
                    *(Mark(plan.devices[user].at, f"{user} plugs into it", key=True) for user in users),
                ),
            )


def _unknown(plan: Plan, role: str | None) -> tuple[str, ...]:
    """Return the units that such a box is for and that do not say what they plug into."""
    ways = [way for way, box in BOX_ROLES.items() if box == role]
    return tuple(
        name
        for name in sorted(plan.devices)
        for way in ways
        if way_of(plan, plan.devices[name]) == way and plugged_into(plan, plan.devices[name], way) is None
    )
