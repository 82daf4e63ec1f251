"""One thing in two places at once: a unit on two links, or an id that means two things.

What goes wrong: a transmitter sends one carrier and a pack hears one carrier, so a unit on two links that are used
together leaves one of them dead; only the links of one wide emission share a transmitter. A pack that only stands in
may stand in on several links. An id that names a link and a unit makes every list that names it (on the air, waivers,
distances) mean either: links, others, devices, antennas and racks share one namespace.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-3: {}, PK-3: {}, PK-4: {}}
    links:
      ear-3: {kind: ear, tx: TX-3, packs: {PK-3: {}}}
      ear-4: {kind: ear, tx: TX-3, packs: {PK-4: {}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-3: {}, PK-3: {}, TX-4: {}, PK-4: {}}
    links:
      ear-3: {kind: ear, tx: TX-3, packs: {PK-3: {}}}
      ear-4: {kind: ear, tx: TX-4, packs: {PK-4: {}}}

Source: the plan format: one carrier is one link, and its namespaces.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.unit_links import with_links
from planlint.facts.wide_emissions import share
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="file", source="the plan format's ids", waivable=False)

_SHARED = (
    ("links", "/links", "a link"),
    ("others_on_air", "/spectrum/others_on_air", "somebody else's carrier"),
    ("devices", "/devices", "a unit"),
    ("antennas", "/antennas", "an antenna"),
    ("racks", "/racks", "a rack"),
)


class _Job(NamedTuple):
    link: str
    at: str
    key: bool
    sends: bool = False


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit in two places at once and for each id of two things."""
    yield from _two_meanings(plan)
    yield from _two_racks(plan)
    if not plan.devices:
        yield Unchecked(("/devices",))
    places: dict[str, list[_Job]] = {}
    for name in sorted(plan.links):
        for unit, job in _jobs(plan.links[name]):
            places.setdefault(unit, []).append(job)
    for unit in sorted(places):
        for first, second in combinations(places[unit], 2):
            shared = first.sends and share(plan, first.link, second.link)
            if first.link == second.link or (facts.meet(first.link, second.link) and not shared):
                yield _on_two_links(unit, first, second)


def _jobs(link: Link) -> Iterator[tuple[str, _Job]]:
    """Yield each unit that a link needs for itself alone: its transmitter, and its packs except spares."""
    if link.tx:
        key = "mic" if link.spec.get("tx") is None else "tx"
        yield link.tx, _Job(link.id, f"{link.at}/{key}", key=False, sends=True)
    for pack in link.packs:
        if pack.stands_in_for is None:
            yield pack.id, _Job(link.id, pack.at, key=True)


def _on_two_links(unit: str, first: _Job, second: _Job) -> Fault:
    if first.link == second.link:
        where, what = f"twice on {first.link}", "Name the unit that really stands at the other end."
    else:
        where = f"on {first.link} and {second.link}, which are on the air together"
        what = "One of them has no unit: name another there, at both ends, or show in the day that they never meet."
    return Fault(
        second.at,
        f"{unit} is {where}. {what}",
        (unit, first.link, second.link),
        {"unit": unit},
        (Mark(first.at, f"{unit} is on {first.link} here", key=first.key),),
        key=second.key,
    )


def _two_meanings(plan: Plan) -> Iterator[Fault]:
    meanings: dict[str, list[tuple[str, str]]] = {}
    for space, at, what in _SHARED:
        for name in sorted(plan.ids.get(space, ())):
            meanings.setdefault(name, []).append((f"{at}/{escape(name)}", what))
    for name in sorted(meanings):
        (first, is_first), *others = meanings[name]
        for at, what in others:
            yield Fault(
                at,
                f"'{name}' is {is_first} and {what} as well; these share one namespace, so a list that names it could mean "
                "either. Give one of them another id, everywhere it is named.",
                (name,),
                {"id": name},
                (Mark(first, f"{is_first} here", key=True),),
                key=True,
            )


def _two_racks(plan: Plan) -> Iterator[Fault]:
    homes: dict[str, tuple[str, str]] = {}
    for rack, spec in sorted(plan.section("racks").items()):
        for index, unit in enumerate(spec.get("holds", ()) if isinstance(spec, dict) else ()):
            at = f"/racks/{escape(rack)}/holds/{index}"
            if unit in homes:
                first, there = homes[unit]
                again = f"twice in rack {rack}" if first == rack else f"in rack {first} and in rack {rack}"
                yield Fault(
                    at,
                    f"{unit} is {again}: take it out of one list.",
                    with_links(plan, [unit]),
                    {"unit": unit},
                    (Mark(there, "here too"),),
                )
            else:
                homes[unit] = rack, at
