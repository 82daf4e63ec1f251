"""What is set on the units at both ends of a link.

A pack's setting stands under its link, else with the unit, else in the house settings; a transmitter's or
receiver's stands with the unit.
"""

from __future__ import annotations

from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.facts.ends import End, ends
from planlint.facts.packs import Setting, setting
from planlint.plan.model import Link, Pack, Plan


class Unit(NamedTuple):
    """A unit on a link and one of its settings."""

    end: End
    setting: Setting


def units(plan: Plan, link: Link, key: str, *, listeners: bool = False) -> list[Unit]:
    """Return every known unit on a link with one of its settings, the transmitter first.

    Args:
        plan: the plan.
        link: the link.
        key: the setting.
        listeners: count packs of other links that have this one in their listening list.
    """
    found = (end for end in ends(plan, link) if listeners or end.job != "listens")
    return [Unit(end, of_unit(plan, link, end, key)) for end in found]


def of_unit(plan: Plan, link: Link, end: End, key: str) -> Setting:
    """Return one setting of a unit on a link."""
    pack = pack_of(plan, link, end)
    device = plan.devices[end.device]
    if pack is not None:
        own = setting(plan, pack, key)
        if key in pack.own or key not in device.spec:
            return own
    return Setting(device.spec.get(key), f"{device.at}/{escape(key)}")


def pack_of(plan: Plan, link: Link, end: End) -> Pack | None:
    """Return the pack that a unit on a link is, or None where it is no pack."""
    if end.job in {"transmitter", "receiver"}:
        return None
    links = [link, *plan.links.values()] if end.job != "listens" else plan.links.values()
    return next((pack for there in links for pack in there.packs if pack.id == end.device), None)


def missing_ends(plan: Plan, link: Link) -> tuple[str, ...]:
    """Return the pointers that would name a link's transmitter and whatever receives it, where they are unwritten."""
    sender = "mic" if link.kind == "mic" else "tx"
    receiver = "packs" if link.kind == "ear" else "rx"
    missing = [] if link.tx else [f"{link.at}/{sender}"]
    if not link.rx and "packs" not in link.spec:
        missing.append(f"{link.at}/{receiver}")
    named = [link.tx, link.rx, *(pack.id for pack in link.packs)]
    return (*missing, *(f"/devices/{escape(name)}" for name in named if name and name not in plan.devices))
