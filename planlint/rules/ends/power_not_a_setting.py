"""A power that the transmitter's model cannot be set to.

What goes wrong: somebody sets the next one up; what was checked against the limit and the link's margin is not
what is radiated.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, powers_mw: [4, 18]}}
    devices: {TX-1: {model: tx-n}}
    links: {vox: {kind: ear, tx: TX-1, power_mw: 10}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, powers_mw: [4, 18]}}
    devices: {TX-1: {model: tx-n}}
    links: {vox: {kind: ear, tx: TX-1, power_mw: 18}}

Source: the models' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Model
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, text, value

RULE = Rule(severity="error", group="link", source="the models' data sheets")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link whose power its transmitter cannot be set to."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used:
            continue
        device = plan.devices.get(link.tx or "")
        if link.power_mw is None:
            yield Unchecked((f"{link.entry_at}/power_mw",), (name,))
        elif link.tx is None:
            yield Unchecked((f"{link.at}/{'mic' if link.kind == 'mic' else 'tx'}",), (name,))
        elif device is None or device.model is None:
            yield Unchecked((f"/devices/{escape(link.tx)}/model",), (name, link.tx))
        elif "powers_mw" not in device.model.spec:
            yield Unchecked((f"{device.model.at}/powers_mw",), (name, link.tx))
        elif link.power_mw not in [float(power) for power in device.model.spec["powers_mw"]]:
            yield _fault(link, link.tx, link.power_mw, device.model)


def _fault(link: Link, sender: str, power_mw: float, model: Model) -> Fault:
    listed = [text(power) for power in sorted(model.spec["powers_mw"])]
    can = f"can be set to {joined(listed, 'or')} mW" if listed else "lists no power"
    return Fault(
        f"{link.entry_at}/power_mw",
        f"{link.id}: {sender} is to send {text(power_mw)} mW, and its model {model.id} {can}. Write one "
        f"it has and set it on {sender}: what is set instead was not checked.",
        (link.id, sender),
        {"power_mw": value(power_mw), "powers_mw": ", ".join(listed) or "none"},
        (Mark(f"{model.at}/powers_mw", f"what {model.id} can be set to", key=True),),
    )
