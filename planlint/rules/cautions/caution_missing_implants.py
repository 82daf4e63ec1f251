"""A transmitter worn on the body and no word about implants.

What goes wrong: somebody with a pacemaker, a pump or a hearing implant is handed a body pack at the stage edge. The
maker of the implant states a distance; nobody else can.

Bad::

    plan_format: 1
    kind: plan
    models: {belt-k: {role: mic-transmitter, worn: body}}
    devices: {BP-3: {model: belt-k}}
    links: {mic-3: {kind: mic, mic: BP-3}}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    models: {belt-k: {role: mic-transmitter, worn: body}}
    devices: {BP-3: {model: belt-k}}
    links: {mic-3: {kind: mic, mic: BP-3}}
    cautions: [{about: implants, say: people with implants keep the distance their device's maker states}]

Source: common practice, no source; the implant's maker and the wearer's doctor decide.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.caution_wording import ask, listed, settled, unwritten, used_links

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")

SAY = (
    "Before anyone puts on a transmitter: people with a pacemaker, pump or other implant keep the distance that their "
    "device's maker states, and ask their doctor; ask nobody for a diagnosis."
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where a transmitter is worn on the body and no caution is about implants."""
    yield from unwritten(plan)
    if settled(plan, "implants"):
        return
    if not plan.links:
        yield Unchecked(("/links",))
    worn = []
    for link in used_links(plan, "mic", "comms"):
        device = plan.devices.get(link.tx) if link.tx else None
        if device is None:
            yield Unchecked((f"{link.at}/{'mic' if link.kind == 'mic' else 'tx'}",), (link.id,))
        elif device.model is None:
            yield Unchecked((f"{device.at}/model",), (link.id, device.id))
        elif "worn" not in device.model.spec:
            yield Unchecked((f"{device.model.at}/worn",), (link.id, device.id))
        elif device.model.spec["worn"] == "body":
            worn.append((link, device))
    if worn:
        ids = [name for link, device in worn for name in (link.id, device.id)]
        marks = [Mark(device.at, f"{device.id} is worn", key=True) for _, device in worn]
        yield from ask("implants", f"{listed(d.id for _, d in worn)}: worn on the body", SAY, ids, marks)
