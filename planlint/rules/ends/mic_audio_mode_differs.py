"""A microphone and its receiver that process the audio in different ways.

What goes wrong: the receiver locks to the carrier and the display looks right, but what one end compresses the
other does not expand the same way: it pumps and lisps. Each end counts by its `audio_mode`, else by its model's
family.

Bad::

    plan_format: 1
    kind: plan
    models: {hand-k: {role: mic-transmitter, family: north}, rx-m: {role: mic-receiver, family: south}}
    devices: {HH-4: {model: hand-k}, RX-4: {model: rx-m}}
    links: {bv: {kind: mic, mic: HH-4, rx: RX-4}}

Good::

    plan_format: 1
    kind: plan
    models: {hand-k: {role: mic-transmitter, family: north}, rx-m: {role: mic-receiver, family: south}}
    devices: {HH-4: {model: hand-k}, RX-4: {model: rx-m, audio_mode: north}}
    links: {bv: {kind: mic, mic: HH-4, rx: RX-4}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts import Facts
from planlint.facts.settings import missing_ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="common practice, no source")


class _Mode(NamedTuple):
    name: str | None
    at: str


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each microphone link whose two ends do not process alike."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used or link.kind != "mic":
            continue
        sender, receiver = plan.devices.get(link.tx or ""), plan.devices.get(link.rx or "")
        if sender is None or receiver is None:
            yield Unchecked(missing_ends(plan, link), (name,))
            continue
        sent, expected = _mode(sender), _mode(receiver)
        missing = tuple(mode.at for mode in (sent, expected) if mode.name is None)
        if missing:
            yield Unchecked(missing, (name, sender.id, receiver.id))
        elif sent.name != expected.name:
            yield Fault(
                expected.at,
                f"{name}: {sender.id} processes its audio as {sent.name}, {receiver.id} as {expected.name}: it locks "
                "and pumps. Set both ends to one audio mode, or pair units of one family.",
                (name, sender.id, receiver.id),
                {"sends": str(sent.name), "expects": str(expected.name)},
                (Mark(sent.at, f"{sender.id}: {sent.name}"),),
            )


def _mode(device: Device) -> _Mode:
    own = device.spec.get("audio_mode")
    if own is not None:
        return _Mode(str(own), f"{device.at}/audio_mode")
    if device.model is None:
        return _Mode(None, f"{device.at}/model")
    family = device.model.spec.get("family")
    return _Mode(None if family is None else str(family), f"{device.model.at}/family")
