"""In-ear packs and their settings: the house's, overlaid by the pack's own.

A spare pack inherits nothing from the pack it stands in for.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from planlint.plan.model import Link, Pack, Plan


class Setting(NamedTuple):
    """One setting: its value, None where it is unwritten, and the pointer to where it is written or belongs."""

    value: Any
    at: str


def ear_links(plan: Plan) -> Iterator[Link]:
    """Yield each in-ear link used tonight, by id."""
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and (link.kind == "ear" or link.packs):
            yield link


def worn(plan: Plan) -> Iterator[tuple[Link, Pack]]:
    """Yield each pack on each in-ear link used tonight, spares included, by id of link and pack."""
    for link in ear_links(plan):
        for pack in sorted(link.packs, key=lambda pack: pack.id):
            yield link, pack


def main_packs(link: Link) -> list[Pack]:
    """Return a link's packs that stand in for none, by id."""
    return sorted((pack for pack in link.packs if pack.stands_in_for is None), key=lambda pack: pack.id)


def stood_in_for(plan: Plan, link: Link, pack: Pack) -> Pack | None:
    """Return the pack that a spare stands in for: on its own link, else on another; None where it is on none."""
    links = [link, *(plan.links[name] for name in sorted(plan.links) if name != link.id)]
    return next((main for there in links for main in there.packs if main.id == pack.stands_in_for), None)


def setting(plan: Plan, pack: Pack, key: str) -> Setting:
    """Return a pack's setting: its own, else the house's; unwritten, it belongs in `pack_defaults`."""
    if key in pack.own:
        return Setting(pack.own[key], f"{pack.at}/{key}")
    return Setting(plan.section("pack_defaults").get(key), f"/pack_defaults/{key}")


def reason(link: Link, pack: Pack) -> str | None:
    """Return why a pack departs from the house settings, as its `because` says."""
    because = link.spec["packs"][pack.id].get("because")
    return because if isinstance(because, str) else None
