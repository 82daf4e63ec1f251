"""One loud transmitter beside quiet ones.

What goes wrong: the strongest one couples into the others' output stages: its products are the strong ones. Equal powers
within a rack keep all of them low.

Bad::

    plan_format: 1
    kind: plan
    racks: {A: {holds: [TX-1, TX-2]}}
    models: {tx-n: {role: ear-transmitter, powers_mw: [5, 25], power_basis: conducted}}
    devices: {TX-1: {model: tx-n}, TX-2: {model: tx-n}}
    links:
      ear-1: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 5}
      ear-2: {kind: ear, tx: TX-2, carrier_mhz: 506.125, power_mw: 26}

Good::

    plan_format: 1
    kind: plan
    racks: {A: {holds: [TX-1, TX-2]}}
    models: {tx-n: {role: ear-transmitter, powers_mw: [5, 25], power_basis: conducted}}
    devices: {TX-1: {model: tx-n}, TX-2: {model: tx-n}}
    links:
      ear-1: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 5}
      ear-2: {kind: ear, tx: TX-2, carrier_mhz: 506.125, power_mw: 25}

Source: common practice, no source (7 dB).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rf.decibel import mw_to_dbm
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"spread_db": "higher"})

MIXED_DB = 7.0


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each rack whose ear transmitters' powers are at least 7 dB apart."""
    if not plan.section("racks"):
        yield Unchecked(("/racks",))
    racks: dict[str, list[Link]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        device = plan.devices.get(link.tx) if link.tx else None
        if not link.used or link.kind != "ear" or device is None or device.rack is None:
            continue
        if link.power_mw is None:
            yield Unchecked((f"{link.entry_at}/power_mw",), (name, device.id))
        else:
            racks.setdefault(device.rack, []).append(link)
    for rack, links in sorted(racks.items()):
        quiet = min(links, key=lambda link: link.power_mw or 0.0)
        loud = max(links, key=lambda link: link.power_mw or 0.0)
        spread = mw_to_dbm(loud.power_mw or 1.0) - mw_to_dbm(quiet.power_mw or 1.0)
        if spread >= MIXED_DB:
            yield Fault(
                f"{loud.entry_at}/power_mw",
                f"rack {rack}: {loud.tx} sends {loud.power_mw:g} mW beside {quiet.tx}'s {quiet.power_mw:g} ({spread:.1f} dB apart, limit "
                f"{MIXED_DB:g}): its products are the strong ones. Set equal powers on both, or give {loud.tx} an antenna of its own.",
                tuple(sorted({loud.id, quiet.id, loud.tx or loud.id, quiet.tx or quiet.id})),
                {"spread_db": round(spread, 1), "limit_db": MIXED_DB},
                (Mark(f"{quiet.entry_at}/power_mw", f"{quiet.id} is the quiet one"),),
            )
