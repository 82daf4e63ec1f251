"""Which change stands behind what: the unit it is about, who brought it about, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from planlint.diff.change import Cause, Change, Consequence
from planlint.diff.state import CARRIER, GROUP, LIST
from planlint.document.nodes import escape, split_pointer
from planlint.plan.model import Link, Plan
from planlint.schema.kinds import KEYS_OF_KIND

_VENUE = KEYS_OF_KIND["venue"] - {"waivers", "hired"}
_HIRE = frozenset({"models", "hired"})
_OWN_UNIT = frozenset({"devices", "hired", "group_overrides_mhz", "found"})


class Notice(NamedTuple):
    """A consequence and the places whose change may have brought it, the likeliest first."""

    places: tuple[str, ...]
    consequence: Consequence


def cause_of(pointer: str) -> Cause:
    """Say who decides what stands at a pointer: the venue, the tour, or whoever brings the gear."""
    parts = split_pointer(pointer)
    if parts[0] in _HIRE:
        return "hire"
    in_link = parts[0] == "links" and len(parts) == 3 and parts[2] in {CARRIER, "power_mw"}
    return "venue" if parts[0] in _VENUE or in_link else "decision"


def unit_of(plan: Plan, pointer: str) -> str | None:
    """Return the unit that an entry is about, or None; a link without a written transmitter stands for it."""
    parts = split_pointer(pointer)
    if len(parts) < 2:
        return None
    if parts[0] in _OWN_UNIT:
        return parts[1]
    if parts[0] == "links" and len(parts) >= 4 and parts[2] == "packs":
        return parts[3]
    link = plan.links.get(parts[1])
    if parts[0] not in {"links", "carriers"} or link is None:
        return None
    if parts[0] == "links" and len(parts) > 2 and parts[2] in {"rx", "desk_in"}:
        return link.rx
    return link.tx or link.id


def links_of(plan: Plan, unit: str) -> Iterator[Link]:
    """Yield the links that a unit is an end of, or stands for."""
    for link in plan.links.values():
        if unit in {link.id, link.tx, link.rx} or any(pack.id == unit for pack in link.packs):
            yield link


def places(plan: Plan, unit: str, field: str) -> tuple[str, ...]:
    """Return the pointers that a unit's field may follow from, the likeliest first."""
    name = escape(unit)
    found = []
    if field.startswith(LIST):
        listened = plan.links.get(field.removeprefix(LIST))
        found += [listened.carrier_at, f"{listened.entry_at}/unused"] if listened else []
        found += [f"{link.at}/packs/{name}/listens_to" for link in links_of(plan, unit)]
        return tuple(found)
    if field.startswith(GROUP):
        group = escape(field.removeprefix(GROUP))
        return (f"/groups/{group}", f"/group_overrides_mhz/{name}/{group}")
    own = [f"/hired/{name}", f"/devices/{name}/{field}"]
    for link in links_of(plan, unit):
        if field in {CARRIER, "power_mw"}:
            found += [f"{link.entry_at}/{field}"]
        found += [f"{link.at}/packs/{name}/{field}", f"{link.at}/{field}", f"{link.entry_at}/unused"]
        found += [f"{link.at}/{end}" for end in ("tx", "mic", "rx")]
    return (*found[:2], *own, f"/pack_defaults/{field}", *found[2:])


def attach(changes: Iterable[Change], notices: Iterable[Notice]) -> tuple[tuple[Change, ...], tuple[Consequence, ...]]:
    """Hang each consequence on the change it follows from; return too those that follow from none."""
    kept = list(changes)
    hung: dict[int, list[Consequence]] = {}
    loose = []
    for notice in notices:
        index = next((i for place in notice.places for i, change in enumerate(kept) if _about(change, place)), None)
        if index is None:
            loose.append(notice.consequence)
        else:
            hung.setdefault(index, []).append(notice.consequence)
    told = [change._replace(consequences=tuple(hung.get(i, ()))) for i, change in enumerate(kept)]
    return tuple(told), tuple(loose)


def _about(change: Change, place: str) -> bool:
    pointers = [change.pointer] + ([change.other_pointer] if change.kind == "swapped" and change.other_pointer else [])
    return change.kind != "renamed" and any(
        place == pointer or place.startswith(f"{pointer}/") or pointer.startswith(f"{place}/") for pointer in pointers
    )
