"""Which links a unit is on."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.plan.model import Link, Plan


def units_of(link: Link) -> frozenset[str]:
    """Return the ids of the units on a link: transmitter, receiver and packs, spares included."""
    named = (link.tx, link.rx, *(pack.id for pack in link.packs))
    return frozenset(unit for unit in named if unit is not None)


def with_links(plan: Plan, units: Iterable[str]) -> tuple[str, ...]:
    """Return units with the links they are on, for a finding's subjects; sorted."""
    units = set(units)
    links = {name for name, link in plan.links.items() if units & units_of(link)}
    return tuple(sorted(units | links))
