"""How wide each link's emission is, and from where that is known."""

from __future__ import annotations

from typing import NamedTuple

from planlint.facts.modes import in_mode
from planlint.plan.model import Link, Other, Plan
from planlint.plan.quantity import to_hz
from planlint.schema.store import defaults


class Width(NamedTuple):
    """An emission width in Hz; `assumed` where the plan does not write it."""

    hz: int
    assumed: bool


def unwritten_hz() -> int:
    """Return the width taken where none is written, from the table of defaults."""
    return to_hz(defaults()["defaults"]["emission_khz"]["value"], "khz")


def width(plan: Plan, item: Link | Other) -> Width:
    """Return the width of a link (its transmitter's model, in the link's mode) or of somebody else's carrier."""
    if isinstance(item, Other):
        return Width(item.emission_hz or unwritten_hz(), item.emission_hz is None)
    device = plan.devices.get(item.tx) if item.tx else None
    model = device.model if device else None
    khz = in_mode(model, item, "emission_khz") if model else None
    written = None if khz is None else to_hz(khz, "khz")
    return Width(written or unwritten_hz(), written is None)
