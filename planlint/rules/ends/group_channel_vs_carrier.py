"""A group and channel written for a link that do not give the carrier written beside them.

What goes wrong: the sheet says group and channel, the plan was checked on the carrier. Whoever recalls the
channel puts the link where nothing was checked.

Bad::

    plan_format: 1
    kind: plan
    groups: {G2: {carriers_mhz: {1: 497.175, 3: 478.300}}}
    links: {drums: {kind: ear}}
    carriers: {drums: {carrier_mhz: 478.200, stored: {G2: 3}}}

Good::

    plan_format: 1
    kind: plan
    groups: {G2: {carriers_mhz: {1: 497.175, 3: 478.200}}}
    links: {drums: {kind: ear}}
    carriers: {drums: {carrier_mhz: 478.200, stored: {G2: 3}}}

Source: equality of carriers; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.groups import Held, channels
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import khz_number, mhz
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="equality of carriers")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each recalled channel that is not on its link's carrier."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.wants_carrier or not link.stored:
            continue
        if link.carrier_hz is None:
            yield Unchecked((link.carrier_at,), (name,))
            continue
        for group, number in sorted(link.stored.items()):
            held = channels(plan, group)
            if not held:
                yield Unchecked((f"/groups/{escape(group)}/carriers_mhz",), (name,))
            elif int(number) not in held:
                yield _missing(link, link.carrier_hz, group, int(number))
            elif held[int(number)].carrier_hz != link.carrier_hz:
                yield _differs(link, link.carrier_hz, held[int(number)])


def _missing(link: Link, carrier_hz: int, group: str, channel: int) -> Fault:
    return Fault(
        f"{link.entry_at}/stored/{escape(group)}",
        f"{link.id} {mhz(carrier_hz)} is to be recalled as {group} channel {channel}, and {group} has no such channel: store "
        f"{mhz(carrier_hz)} in it at both ends, or write the channel that holds it.",
        _who(link),
        {"carrier_mhz": mhz(carrier_hz), "group": group, "channel": channel},
        (Mark(f"/groups/{escape(group)}/carriers_mhz", f"what {group} holds", key=True),),
    )


def _differs(link: Link, carrier_hz: int, held: Held) -> Fault:
    return Fault(
        f"{link.entry_at}/stored/{escape(held.group)}",
        f"{link.id} is planned on {mhz(carrier_hz)}, but {held.group} channel {held.channel} is {mhz(held.carrier_hz)}: recalling "
        "it puts both ends where nothing was checked. Write the channel that holds the carrier, or store the carrier "
        "there in every unit of the group.",
        _who(link),
        {
            "carrier_mhz": mhz(carrier_hz),
            "group": held.group,
            "channel": held.channel,
            "group_mhz": mhz(held.carrier_hz),
            "off_khz": khz_number(abs(held.carrier_hz - carrier_hz)),
        },
        (Mark(link.carrier_at, "the planned carrier"), Mark(held.at, f"{held.group} channel {held.channel}")),
    )


def _who(link: Link) -> tuple[str, ...]:
    return (link.id, link.tx) if link.tx else (link.id,)
