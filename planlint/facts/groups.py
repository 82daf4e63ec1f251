"""User groups: which carriers each unit really holds, overrides counted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Plan
from planlint.plan.quantity import to_hz


class Held(NamedTuple):
    """A stored carrier: its user group, its channel there, its carrier in Hz, and where that is written."""

    group: str
    channel: int
    carrier_hz: int
    at: str


def channels(plan: Plan, group: str) -> dict[int, Held]:
    """Return what a user group holds, by channel number; empty where it is not known."""
    spec = plan.section("groups").get(group)
    carriers = spec.get("carriers_mhz", {}) if isinstance(spec, dict) else {}
    return _held(carriers, group, f"/groups/{escape(group)}/carriers_mhz")


def overrides(plan: Plan, device: str, group: str) -> dict[int, Held]:
    """Return what a unit was found to hold otherwise in a user group, by channel number."""
    carriers = plan.section("group_overrides_mhz").get(device, {}).get(group, {})
    return _held(carriers, group, f"/group_overrides_mhz/{escape(device)}/{escape(group)}")


def holders(plan: Plan, group: str) -> tuple[str, ...] | None:
    """Return the units a user group is stored in, by id; None where that is unwritten."""
    stored_in = plan.section("groups").get(group, {}).get("stored_in")
    return None if stored_in is None else tuple(sorted(set(stored_in)))


def held_by(plan: Plan, device: str) -> list[Held]:
    """Return every carrier a unit is known to hold, by user group and channel."""
    found: list[Held] = []
    for group in sorted(plan.section("groups")):
        mine = overrides(plan, device, group)
        if device in (holders(plan, group) or ()):
            mine = {**channels(plan, group), **mine}
        found += [mine[channel] for channel in sorted(mine)]
    return found


def unknown_holders(plan: Plan) -> tuple[str, ...]:
    """Return the pointers of user groups that do not say where they are stored."""
    return tuple(
        f"/groups/{escape(group)}/stored_in" for group in sorted(plan.section("groups")) if holders(plan, group) is None
    )


def _held(carriers: Mapping[str, Any], group: str, at: str) -> dict[int, Held]:
    return {
        int(channel): Held(group, int(channel), to_hz(carrier, "mhz"), f"{at}/{escape(channel)}")
        for channel, carrier in carriers.items()
    }
