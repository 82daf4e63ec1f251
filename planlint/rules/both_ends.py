"""A setting of the transmitter beside the same setting of whatever receives it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts.settings import Unit, missing_ends, units
from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link


class Pair(NamedTuple):
    """A link's transmitter and one unit that receives it, each with the setting in question."""

    link: Link
    sender: Unit
    receiver: Unit


def compared(plan: Plan, key: str) -> Iterator[Pair | Unchecked]:
    """Yield each transmitter with each receiver or pack of its link, spares included, and what is missing for it.

    Args:
        plan: the plan.
        key: a setting that stands with units or packs.
    """
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used:
            continue
        found = units(plan, link, key)
        missing = (*missing_ends(plan, link), *(unit.setting.at for unit in found if unit.setting.value is None))
        if missing:
            yield Unchecked(missing, (name, *(unit.end.device for unit in found)))
        senders = [unit for unit in found if unit.end.job == "transmitter" and unit.setting.value is not None]
        for unit in found:
            if unit.end.job != "transmitter" and unit.setting.value is not None:
                yield from (Pair(link, sender, unit) for sender in senders)
