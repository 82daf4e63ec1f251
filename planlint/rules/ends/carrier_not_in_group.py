"""A unit limited to its user groups, and none of them holds the link's carrier.

What goes wrong: the carrier was moved by hand in the rack; the pack may only be set to what is stored in it, so
it stays where it was. Packs that listen to the link count too.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-2: {may_tune: stored}, PK-2: {}}
    pack_defaults: {may_tune: stored}
    groups: {G1: {stored_in: [TX-2, PK-2], carriers_mhz: {1: 497.175, 2: 498.550}}}
    links: {gtr: {kind: ear, tx: TX-2, packs: {PK-2: {}}, carrier_mhz: 504.275}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-2: {may_tune: stored}, PK-2: {}}
    pack_defaults: {may_tune: stored}
    groups: {G1: {stored_in: [TX-2, PK-2], carriers_mhz: {1: 497.175, 2: 498.550}}}
    links: {gtr: {kind: ear, tx: TX-2, packs: {PK-2: {}}, carrier_mhz: 498.550}}

Source: what the plan says of each unit; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.groups import Held, held_by, unknown_holders
from planlint.facts.settings import Unit, missing_ends, units
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="what the plan says of each unit")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each limited unit that does not hold the carrier of a link it is on."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.wants_carrier:
            continue
        found = units(plan, link, "may_tune", listeners=True)
        missing = (*missing_ends(plan, link), *(unit.setting.at for unit in found if unit.setting.value is None))
        if missing:
            yield Unchecked(missing, (name,))
        for unit in found:
            if unit.setting.value == "stored":
                yield from _limited(plan, link, unit)


def _limited(plan: Plan, link: Link, unit: Unit) -> Iterator[Fault | Unchecked]:
    who = (link.id, unit.end.device)
    if link.carrier_hz is None:
        yield Unchecked((link.carrier_at,), who)
        return
    if "groups" not in plan.values:
        yield Unchecked(("/groups",), who)
        return
    held = held_by(plan, unit.end.device)
    if any(stored.carrier_hz == link.carrier_hz for stored in held):
        return
    unknown = unknown_holders(plan)
    if unknown:
        yield Unchecked(unknown, who)
    else:
        yield _fault(link, link.carrier_hz, unit, held)


def _fault(link: Link, carrier_hz: int, unit: Unit, held: list[Held]) -> Fault:
    device = unit.end.device
    values: dict[str, int | float | str] = {"carrier_mhz": mhz(carrier_hz)}
    if held:
        groups = joined(sorted({stored.group for stored in held}))
        nearest = min(held, key=lambda stored: (abs(stored.carrier_hz - carrier_hz), stored.carrier_hz))
        holds = f"the carriers of {groups} stored in it (nearest {mhz(nearest.carrier_hz)})"
        values |= {
            "groups": groups,
            "nearest_mhz": mhz(nearest.carrier_hz),
            "off_khz": khz_number(abs(nearest.carrier_hz - carrier_hz)),
        }
    else:
        holds = "stored carriers, and by the plan none is stored in it"
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(carrier_hz)}: {device} may tune only {holds}. It cannot be set there: store the "
        f"carrier in {device} and the other end alike, open {device} to any carrier, or choose a stored one.",
        (link.id, device),
        values,
        (Mark(unit.setting.at, f"{device} is limited here"),),
    )
