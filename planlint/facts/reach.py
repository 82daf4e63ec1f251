"""How far people walk from the antennas, as the show's `reach` says."""

from __future__ import annotations

from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Plan


class Distance(NamedTuple):
    """A distance in m, where it is written, and whether it is the one for everybody."""

    metres: float
    at: str
    default: bool


def distance(plan: Plan, person: str | None) -> Distance | tuple[str, ...]:
    """Return a person's farthest distance, else the default; else the pointers of what is missing."""
    section = plan.section("reach")
    own = section.get(person) if person else None
    if person and isinstance(own, dict) and "farthest_m" in own:
        return Distance(float(own["farthest_m"]), f"/reach/{escape(person)}/farthest_m", default=False)
    if "default_m" in section:
        return Distance(float(section["default_m"]), "/reach/default_m", default=True)
    return (f"/reach/{escape(person)}/farthest_m" if person else "/reach/default_m",)
