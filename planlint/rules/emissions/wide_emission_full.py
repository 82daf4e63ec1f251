"""More links in one wide emission than it carries in its mode.

What goes wrong: the wideband transmitter takes twelve mixes in one mode and six in the other; in the other, the seventh
musician hears nothing, and no meter shows why.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-w: {role: ear-transmitter, modes: {fine: {emission_khz: 600, carries_links: 1}}}}
    devices: {TX-W: {model: tx-w}, PK-1: {}, PK-2: {}}
    links:
      ear-1: {kind: ear, tx: TX-W, mode: fine, wide_emission: W-1, carrier_mhz: 505.300, packs: {PK-1: {}}}
      ear-2: {kind: ear, tx: TX-W, mode: fine, wide_emission: W-1, carrier_mhz: 505.300, packs: {PK-2: {}}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-w: {role: ear-transmitter, modes: {many: {emission_khz: 600, carries_links: 2}}}}
    devices: {TX-W: {model: tx-w}, PK-1: {}, PK-2: {}}
    links:
      ear-1: {kind: ear, tx: TX-W, mode: many, wide_emission: W-1, carrier_mhz: 505.300, packs: {PK-1: {}}}
      ear-2: {kind: ear, tx: TX-W, mode: many, wide_emission: W-1, carrier_mhz: 505.300, packs: {PK-2: {}}}

Counted are the links that are on at once.

Source: the model's data sheet; a count.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.wide_emissions import Emission, carries, emissions, units_of_all
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="the model's data sheet; a count", accept={"links": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each wide emission that more links are on at once than it carries."""
    for emission in emissions(plan):
        ours = (frozenset(emission.ids) & ids for ids in facts.present)
        most: frozenset[str] = max(ours, key=lambda ids: (len(ids), sorted(ids)), default=frozenset())
        room = carries(plan, emission)
        if room.links is None:
            yield Unchecked((room.at,), emission.ids)
        elif len(most) > room.links:
            yield _fault(emission, sorted(most), room.links, room.at)


def _fault(emission: Emission, names: list[str], room: int, at: str) -> Fault:
    unit = min(units_of_all(emission)[0])
    mode = emission.leader.spec.get("mode")
    return Fault(
        f"{emission.leader.at}/wide_emission",
        f"{unit} carries {room} link{'' if room == 1 else 's'} in one emission{f' in mode {mode}' if mode else ''}, and {len(names)} are "
        f"on at once ({joined(names)}). Take a mode that carries more, at both ends, or give {joined(names[room:])} another emission.",
        (*names, unit),
        {"emission": emission.name, "links": len(names), "limit_links": room},
        (Mark(at, f"{unit} carries {room}"),),
    )
