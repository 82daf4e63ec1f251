"""Links of one wide emission that write different carriers, powers or modes, or that have no unit in common.

What goes wrong: the emission is one: it has one carrier, one power and one mode, set once. Where its links write two,
one of them is last week's, and the packs that follow it hear nothing. Links that end at different units are no single
emission at all, and the plan counts them as one.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-W: {}, PK-1: {}, PK-2: {}}
    links:
      ear-1: {kind: ear, tx: TX-W, wide_emission: W-1, carrier_mhz: 505.300, power_mw: 20, packs: {PK-1: {}}}
      ear-2: {kind: ear, tx: TX-W, wide_emission: W-1, carrier_mhz: 505.350, power_mw: 20, packs: {PK-2: {}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-W: {}, PK-1: {}, PK-2: {}}
    links:
      ear-1: {kind: ear, tx: TX-W, wide_emission: W-1, carrier_mhz: 505.300, power_mw: 20, packs: {PK-1: {}}}
      ear-2: {kind: ear, tx: TX-W, wide_emission: W-1, carrier_mhz: 505.300, power_mw: 20, packs: {PK-2: {}}}

Ears share a transmitter, microphones a receiver; a unit that does both may end both. In every other sum the first link by
id that has a carrier stands for all of them.

Source: the plan's own words; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.wide_emissions import Emission, differing, emissions, units_of_all
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="the plan's own words")

_SAYS = {"carrier_mhz": "carrier", "power_mw": "power", "mode": "mode"}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link that differs from its emission, and for each emission without a unit of its own."""
    for emission in emissions(plan):
        yield from _lacking(emission)
        for link, key, own, leads in differing(emission):
            yield _differs(emission, link, key, (own, leads))
        common, bare = units_of_all(emission)
        if bare:
            ends = tuple(f"{link.at}/{'rx' if link.kind == 'mic' else 'tx'}" for link in bare)
            yield Unchecked(ends, tuple(link.id for link in bare))
        if not common and len(bare) < len(emission.links):
            yield _no_unit(emission)


def _lacking(emission: Emission) -> Iterator[Unchecked]:
    """Yield what some links of an emission write and others do not."""
    for key, at in (("carrier_mhz", "entry_at"), ("power_mw", "entry_at"), ("mode", "at")):
        without = [link for link in emission.links if _value(link, key) is None]
        if without and (key == "carrier_mhz" or len(without) < len(emission.links)):
            yield Unchecked(tuple(f"{getattr(link, at)}/{key}" for link in without), tuple(link.id for link in without))


def _value(link: Link, key: str) -> object:
    return {"carrier_mhz": link.carrier_hz, "power_mw": link.power_mw, "mode": link.spec.get("mode")}[key]


def _differs(emission: Emission, link: Link, key: str, both: tuple[object, object]) -> Fault:
    lead = emission.leader
    own, leads = (_text(key, value) for value in both)
    at, there = (f"{one.at if key == 'mode' else one.entry_at}/{key}" for one in (link, lead))
    values: dict[str, Value] = {"emission": emission.name, "key": key, "found": own, "expected": leads}
    return Fault(
        at,
        f"{link.id} and {lead.id} are one wide emission, {emission.name}, and write {_SAYS[key]} {own} and {leads}. Write one, "
        f"and set it at the transmitter and at every pack or receiver of {joined(emission.ids)}.",
        (lead.id, link.id, *sorted({one.tx for one in (lead, link) if one.tx})),
        values,
        (Mark(there, f"{lead.id} writes {leads}"),),
    )


def _text(key: str, value: object) -> str:
    if key == "carrier_mhz" and isinstance(value, int):
        return mhz(value)
    return f"{value:g} mW" if isinstance(value, float) else str(value)


def _no_unit(emission: Emission) -> Fault:
    units = sorted({unit for link in emission.links for unit in (link.tx, link.rx) if unit})
    return Fault(
        f"{emission.links[0].at}/wide_emission",
        f"{joined(emission.ids)} are one wide emission, {emission.name}, and no unit stands at the end of all of them "
        f"({joined(units)}): they are several transmissions and counted as one. Name one transmitter for its ears, one receiver "
        "for its microphones, or take wide_emission out.",
        (*emission.ids, *units),
        {"emission": emission.name, "units": len(units)},
        tuple(Mark(f"{link.at}/wide_emission", f"{link.id} is in it too") for link in emission.links[1:]),
    )
