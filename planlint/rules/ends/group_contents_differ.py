"""A unit that holds another carrier in a user group than the group says.

What goes wrong: somebody stored the group again in the rack and not in the packs. Both ends are recalled to
the same group and channel, both displays agree, and they stand on two carriers.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-5: {}, PK-5: {}}
    groups: {G2: {stored_in: [TX-5, PK-5], carriers_mhz: {1: 497.175, 3: 478.200}}}
    group_overrides_mhz: {PK-5: {G2: {3: 478.300}}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {}}}}
    carriers: {drums: {carrier_mhz: 478.200, stored: {G2: 3}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-5: {}, PK-5: {}}
    groups: {G2: {stored_in: [TX-5, PK-5], carriers_mhz: {1: 497.175, 3: 478.200}}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {}}}}
    carriers: {drums: {carrier_mhz: 478.200, stored: {G2: 3}}}

Source: common practice, no source: user groups must be equal at both ends. `group_overrides_mhz` says what a
unit was found to hold.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import ends
from planlint.facts.groups import Held, channels, holders, overrides, unknown_holders
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.quantity import khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each channel in which a unit was found to hold something else than its group."""
    for pointer in unknown_holders(plan):
        yield Unchecked((pointer,))
    for device, found in sorted(plan.section("group_overrides_mhz").items()):
        for group in sorted(found):
            if group not in plan.ids["groups"]:
                yield Unchecked((f"/groups/{group}",), (device,))
                continue
            agreed = channels(plan, group)
            for channel, held in sorted(overrides(plan, device, group).items()):
                if channel not in agreed or agreed[channel].carrier_hz != held.carrier_hz:
                    yield _fault(plan, device, held, agreed.get(channel))


def _fault(plan: Plan, device: str, held: Held, agreed: Held | None) -> Fault:
    group, channel = held.group, held.channel
    holding = [name for name in holders(plan, group) or () if channel not in overrides(plan, name, group)]
    elsewhere = joined([*holding, "the plan"])
    values: dict[str, Value] = {"group": group, "channel": channel, "found_mhz": mhz(held.carrier_hz)}
    if agreed is None:
        says, repair = (
            f"ha{'ve' if holding else 's'} no such channel",
            "store the group again in every unit, or write the channel into the group",
        )
    else:
        says = mhz(agreed.carrier_hz)
        repair = f"enter {says} on {device}, or store the group again in every unit"
        values |= {"group_mhz": says, "off_khz": khz_number(abs(held.carrier_hz - agreed.carrier_hz))}
    links = [name for name in sorted(plan.links) if any(e.device == device for e in ends(plan, plan.links[name]))]
    return Fault(
        held.at,
        f"user group {group} channel {channel}: {device} holds {mhz(held.carrier_hz)}, {elsewhere} {says}. Recalled "
        f"to it, the units of one link stand apart: {repair}.",
        (device, *links),
        values,
        () if agreed is None else (Mark(agreed.at, f"{group} channel {channel} by the plan"),),
    )
