"""A carrier where two-way radio shares the band in this town.

What goes wrong: in some towns the police, cabs and building sites talk on what is a TV channel elsewhere. They
press to talk, so a scan at lunch looks quiet, and it does not stay so. The emission's edges count.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us, town: Chicago}
    links: {vox: {kind: ear, carrier_mhz: 478.200}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us, town: Chicago}
    links: {vox: {kind: ear, carrier_mhz: 488.200}}

The region file lists the towns; the use reaches some way around each of them, so a town that is not listed is
not thereby free of it.

Source: the region file's list (for `us`: 47 CFR 90.303(b)); each entry says whether it was read.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz, to_hz
from planlint.rf.tv import channel_edges_hz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who

RULE = Rule(severity="warning", group="law", source="the region file's list of towns")

Block = tuple[int, int, str]


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each emission that reaches into what two-way radio shares in the show's town."""
    yield from lacking(plan, facts)
    town = plan.show.get("town")
    if town is None:
        yield Unchecked(("/show/town",))
    if plan.region is None:
        return
    if "land_mobile" not in plan.region.spec:
        yield Unchecked(("/land_mobile",))
        return
    entries = plan.region.spec["land_mobile"].values()
    shared = [entry for entry in entries if town is not None and _same(str(entry.get("town", "")), str(town))]
    for link, carrier, low, high in carried(plan, facts):
        for entry in shared:
            hit = [block for block in _blocks(plan, entry) if block[0] < high and low < block[1]]
            if hit:
                yield _fault(link, carrier, entry, hit)


def _same(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def _blocks(plan: Plan, entry: dict[str, Any]) -> Iterator[Block]:
    """Yield lower edge, upper edge and name of each block that an entry shares."""
    if "low_mhz" in entry and "high_mhz" in entry:
        low, high = to_hz(entry["low_mhz"], "mhz"), to_hz(entry["high_mhz"], "mhz")
        yield low, high, f"{mhz(low)}-{mhz(high)}"
    name = plan.region.raster if plan.region else None
    for channel in entry.get("tv_channels", ()) if name else ():
        try:
            low, high = channel_edges_hz(str(name), channel)
        except ValueError:
            continue
        yield low, high, f"TV {channel}, {mhz(low)}-{mhz(high)}"


def _fault(link: Link, carrier: int, entry: dict[str, Any], hit: list[Block]) -> Fault:
    says = strength(entry.get("status", {}).get("band", "memory"))
    names = " and ".join(name for _, _, name in hit)
    document = entry.get("source", {}).get("document", "no document named")
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(carrier)} lies where two-way radio works in {entry['town']} ({names}; {document}){says.says}. A quiet "
        "scan will not stay quiet: choose another carrier for every unit on the link.",
        who(link),
        {"carrier_mhz": mhz(carrier), "town": str(entry["town"])},
    )
