"""Spare microphones that are on together.

What goes wrong: spares lie on one tray, centimetres from each other. Switched on they make intermodulation of their
own, stronger than anything from the stage, and it falls on the carriers in use. Off until one is needed.

Bad::

    plan_format: 1
    kind: plan
    links:
      mic-1: {kind: mic, carrier_mhz: 560.000}
      mic-8: {kind: mic, carrier_mhz: 566.000, stands_in_for: mic-1}
      mic-9: {kind: mic, carrier_mhz: 573.500, stands_in_for: mic-1}
    day: [{what: show, at: "21:00", until: "22:30", on_air: [mic-1, mic-8, mic-9]}]

Good::

    plan_format: 1
    kind: plan
    links:
      mic-1: {kind: mic, carrier_mhz: 560.000}
      mic-8: {kind: mic, carrier_mhz: 566.000, stands_in_for: mic-1}
      mic-9: {kind: mic, carrier_mhz: 573.500, stands_in_for: mic-1}
    day: [{what: show, at: "21:00", until: "22:30", on_air: [mic-1, mic-8]}]

A microphone is a spare where it has `stands_in_for`, and on where an `on_air` list names it. Where a plan does not
write its day, spares are off.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import DayEntry
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each largest set of spare microphones that are on the air together."""
    if not plan.links:
        yield Unchecked(("/links",))
    spares = {name for name, link in plan.links.items() if link.kind == "mic" and link.stands_in_for is not None}
    found = {frozenset(ids & spares) for ids in facts.together}
    for ids in sorted(found, key=sorted):
        if len(ids) > 1 and not any(ids < more for more in found):
            yield _fault(plan, sorted(ids))


def _fault(plan: Plan, names: list[str]) -> Fault:
    entries = [entry for entry in plan.day if _names(entry, names)]
    units = [link.tx for link in (plan.links[name] for name in names) if link.tx]
    return Fault(
        f"{entries[0].at}/on_air" if entries else "/day",
        f"{joined(names)} are spares and on together: on one tray they make intermodulation of their own, and it "
        f"falls on what is in use. Keep {joined(units or names)} off until one is needed, and name them in no on_air list.",
        (*names, *units),
        {"spares": len(names)},
        tuple(Mark(f"{entry.at}/on_air", "and here") for entry in entries[1:]),
    )


def _names(entry: DayEntry, names: list[str]) -> bool:
    return isinstance(entry.on_air, tuple) and not set(names).isdisjoint(entry.on_air)
