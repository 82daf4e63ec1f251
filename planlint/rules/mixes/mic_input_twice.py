"""Two receivers planned into one desk input.

What goes wrong: one microphone is not heard, or two are on one fader. A spare microphone's receiver counts: it
needs an input of its own, or a hand on a cable in the middle of a song.

Bad::

    plan_format: 1
    kind: plan
    devices: {HH-2: {}, RX-2: {}, HH-4: {}, RX-4: {}}
    links:
      bv: {kind: mic, mic: HH-2, rx: RX-2, desk_in: 4}
      gst: {kind: mic, mic: HH-4, rx: RX-4, desk_in: 4}

Good::

    plan_format: 1
    kind: plan
    devices: {HH-2: {}, RX-2: {}, HH-4: {}, RX-4: {}}
    links:
      bv: {kind: mic, mic: HH-2, rx: RX-2, desk_in: 2}
      gst: {kind: mic, mic: HH-4, rx: RX-4, desk_in: 4}

Source: equality of numbers; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="equality of numbers")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each desk input that more than one link goes to."""
    if not plan.links:
        yield Unchecked(("/links",))
    users: dict[int, list[Link]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used:
            continue
        if link.desk_in is not None:
            users.setdefault(link.desk_in, []).append(link)
        elif link.kind == "mic":
            yield Unchecked((f"{link.at}/desk_in",), (name,))
    for desk_in, found in sorted(users.items()):
        if len(found) > 1 and not _one_receiver(found):
            units = joined(link.rx or link.id for link in found)
            yield Fault(
                f"{found[-1].at}/desk_in",
                f"{units} {'both' if len(found) == 2 else 'all'} go to desk input {desk_in}: only one of them is heard. "
                "Give each its own input, at the receiver and on the desk.",
                (*(link.id for link in found), *(link.rx for link in found if link.rx)),
                {"desk_in": desk_in, "links": len(found)},
                tuple(Mark(f"{link.at}/desk_in", link.id) for link in found[:-1]),
            )


def _one_receiver(links: list[Link]) -> bool:
    """Say whether one receiver serves all the links, one after the other: that is one cable."""
    return (
        len({link.rx for link in links}) == 1
        and links[0].rx is not None
        and not any(link.wide_emission for link in links)
    )
