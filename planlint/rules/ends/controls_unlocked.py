"""Knobs and buttons left open on a unit.

What goes wrong: somebody leans on the rack, or sits down on the pack, and a carrier moves. A unit is locked when
everything is sent to it.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-1: {controls: open}, PK-1: {}}
    pack_defaults: {controls: locked}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {}}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-1: {controls: locked}, PK-1: {}}
    pack_defaults: {controls: locked}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {}}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.settings import missing_ends, units
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each place that leaves the controls of units in use open."""
    if not plan.links:
        yield Unchecked(("/links",))
    places: dict[str, tuple[set[str], set[str]]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used:
            continue
        found = units(plan, link, "controls")
        missing = (*missing_ends(plan, link), *(unit.setting.at for unit in found if unit.setting.value is None))
        if missing:
            yield Unchecked(missing, (name,))
        for unit in found:
            if unit.setting.value == "open":
                devices, links = places.setdefault(unit.setting.at, (set(), set()))
                devices.add(unit.end.device)
                links.add(name)
    for place in sorted(places):
        devices, links = places[place]
        yield Fault(
            place,
            f"{joined(sorted(devices))}: controls open. Lock {'it' if len(devices) == 1 else 'them'} when everything "
            "is sent: a knock on an open unit moves a carrier or a level at one end.",
            (*sorted(devices), *sorted(links)),
            {"open": len(devices)},
        )
