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
from planlint.facts.route import plugged_in
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
        users = plugged_in(plan, name)
        if device.model is None:
            if users:
                yield Unchecked((model_at(device),), (name,))
            continue
        ways = device.model.spec.get("ways")
        if device.model.role not in {"combiner", "splitter"} or not users:
            continue
        if ways is None:
            yield Unchecked((f"{device.model.at}/ways",), (name,))
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
