"""Split pairs: one stereo carrier, two people, one mono mix each.

The transmitter sends stereo, one person's mix on its left input and the other's on its right; each pack decodes
stereo, feeds both ears mono, and has its balance fully to one side (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from planlint.facts.packs import ear_links, main_packs, setting
from planlint.plan.model import Link, Pack, Plan

Side = Literal["left", "right"]
SIDES: tuple[Side, Side] = ("left", "right")

#: The three forms a feed may have.
FEEDS = (frozenset({"stereo"}), frozenset({"mono"}), frozenset(SIDES))


def splits(plan: Plan) -> Iterator[Link]:
    """Yield each link used tonight that is fed one mix left and another right, by id."""
    return (link for link in ear_links(plan) if is_split(link))


def is_split(link: Link) -> bool:
    """Say whether a link is fed one mix left and another right."""
    return link.feed is not None and set(link.feed) == set(SIDES)


def side(balance_pct: Any) -> Side | None:
    """Return the side a balance is turned to, however little; None at the middle or unwritten."""
    if not balance_pct:
        return None
    return "left" if balance_pct < 0 else "right"


def other(this: Side) -> Side:
    """Return the other side."""
    return "right" if this == "left" else "left"


def split_packs(link: Link) -> list[Pack]:
    """Return the packs of a split pair's people, by id: without spares and without packs that double another."""
    return [pack for pack in main_packs(link) if "doubles" not in link.spec["packs"][pack.id]]


def one_side(plan: Plan, link: Link) -> Side | None:
    """Return the side that all of two or more people's packs of a split pair are turned to, or None."""
    sides = [side(setting(plan, pack, "balance_pct").value) for pack in split_packs(link)]
    return sides[0] if len(sides) > 1 and len(set(sides)) == 1 else None
