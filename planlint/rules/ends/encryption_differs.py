"""Encryption on at one end of a link only.

What goes wrong: the receiver shows a full carrier and gives nothing, or noise, out. It happens when a spare is
taken from another rack.

Bad::

    plan_format: 1
    kind: plan
    devices: {HH-2: {encryption: used}, RX-2: {encryption: none}}
    links: {bv: {kind: mic, mic: HH-2, rx: RX-2}}

Good::

    plan_format: 1
    kind: plan
    devices: {HH-2: {encryption: used}, RX-2: {encryption: used}}
    links: {bv: {kind: mic, mic: HH-2, rx: RX-2}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.both_ends import compared

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each receiver or pack whose encryption is not its transmitter's."""
    for found in compared(plan, "encryption"):
        if isinstance(found, Unchecked):
            yield found
        elif found.sender.setting.value != found.receiver.setting.value:
            sends, hears = found.sender.end.device, found.receiver.end.device
            on, off = (sends, hears) if found.sender.setting.value == "used" else (hears, sends)
            yield Fault(
                found.receiver.setting.at,
                f"{found.link.id}: encryption is on at {on} and off at {off}: nothing, or noise, comes out. Both ends "
                "on with the same key, or both off.",
                (found.link.id, sends, hears),
                {"sender": found.sender.setting.value, "receiver": found.receiver.setting.value},
                (Mark(found.sender.setting.at, f"{sends}: {found.sender.setting.value}"),),
            )
