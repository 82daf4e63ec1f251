"""A tone key used at one end of a link only.

What goes wrong: a receiver that waits for the tone stays silent on a transmitter that does not send it. The
other way round it plays, and opens to noise when the transmitter goes off: that is a warning.

Bad::

    plan_format: 1
    kind: plan
    devices: {BP-3: {tone_key: none}, RX-3: {tone_key: used}}
    links: {gtr: {kind: mic, mic: BP-3, rx: RX-3}}

Good::

    plan_format: 1
    kind: plan
    devices: {BP-3: {tone_key: used}, RX-3: {tone_key: used}}
    links: {gtr: {kind: mic, mic: BP-3, rx: RX-3}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.both_ends import Pair, compared

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each receiver or pack whose tone key is not its transmitter's."""
    for found in compared(plan, "tone_key"):
        if isinstance(found, Unchecked):
            yield found
        elif found.sender.setting.value != found.receiver.setting.value:
            yield _fault(found)


def _fault(pair: Pair) -> Fault:
    sends, hears = pair.sender.end.device, pair.receiver.end.device
    silent = pair.receiver.setting.value == "used"
    if silent:
        wrong = f"{hears} waits for the tone key, {sends} does not send it: silence"
    else:
        wrong = f"{sends} sends the tone key, {hears} does not wait for it: it opens to noise when {sends} goes off"
    return Fault(
        pair.receiver.setting.at,
        f"{pair.link.id}: {wrong}. Use it at both ends, or at none.",
        (pair.link.id, sends, hears),
        {"sender": pair.sender.setting.value, "receiver": pair.receiver.setting.value},
        (Mark(pair.sender.setting.at, f"{sends}: {pair.sender.setting.value}"),),
        severity="error" if silent else "warning",
    )
