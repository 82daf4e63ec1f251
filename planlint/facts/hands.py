"""Work at the units: which units a new carrier touches, where each is found, and minutes a unit.

A touch is one unit to enter something on and try, or one entry of a pack's listening list; each takes
`policy.hands_min_per_unit`, unwritten 1.5 min (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts.limits import number, written
from planlint.finding import Spot, Touch
from planlint.plan.model import Link, Plan
from planlint.schema.store import defaults

_RATE = "hands_min_per_unit"


class Rate(NamedTuple):
    """Minutes a touch, and whether the house writes them; else they are the documented default."""

    min_per_unit: float
    house: bool


def rate(plan: Plan) -> Rate:
    """Return how long a touch takes."""
    return Rate(number(plan, _RATE), written(plan, _RATE) is not None)


def usual() -> Rate:
    """Return the documented default."""
    return Rate(float(defaults()["defaults"][f"policy.{_RATE}"]["value"]), house=False)


def spot(plan: Plan, unit: str) -> Spot:
    """Return where a unit is found: with whoever wears it, else in its rack, else by its own name.

    Args:
        plan: the plan.
        unit: id of a device, of an antenna, or of a link that stands for ends the plan does not write.
    """
    person = next(_wearers(plan, unit), None)
    if person is not None:
        return Spot("person", person)
    device = plan.devices.get(unit)
    if device is not None and device.rack is not None:
        return Spot("rack", device.rack)
    return Spot("antenna" if unit in plan.section("antennas") else "unit", unit)


def touch(plan: Plan, unit: str) -> Touch:
    """Return the touch of a unit itself."""
    return Touch(unit, None, spot(plan, unit))


def retune(plan: Plan, link: Link) -> tuple[Touch, ...]:
    """Return what a new carrier for a link touches: its units, and its entry in every listening list.

    A link whose ends are not all written stands for those that are missing: somebody must set them.
    """
    units = [unit for unit in (link.tx, link.rx, *(pack.id for pack in link.packs)) if unit]
    if not link.tx or not (link.rx or "packs" in link.spec):
        units.append(link.id)
    return (*(touch(plan, unit) for unit in dict.fromkeys(units)), *_listening(plan, link))


def _listening(plan: Plan, link: Link) -> Iterator[Touch]:
    seen = set()
    for other in plan.links.values():
        for pack in other.packs:
            if other.used and pack.id not in seen and link.id in (pack.listens_to or ()):
                seen.add(pack.id)
                yield Touch(pack.id, link.id, spot(plan, pack.id))


def _wearers(plan: Plan, unit: str) -> Iterator[str]:
    """Yield who wears or holds a unit: a pack's person, or who uses the microphone; used links first."""
    for link in sorted(plan.links.values(), key=lambda link: (not link.used, link.id)):
        yield from (pack.person for pack in link.packs if pack.id == unit and pack.person)
        if link.person and unit in {link.tx if link.kind == "mic" else None, _stands_for_ends(link)}:
            yield link.person


def _stands_for_ends(link: Link) -> str | None:
    return link.id if not link.tx else None
