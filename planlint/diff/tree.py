"""The resolved plan as a tree to compare: sets stand in one order, and items of lists of maps have names.

Which lists are sets is the format's own word: in every other list the order means something.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

Tree = dict[str, Any]
Shape = dict[str, Any]

#: Lists in which the order means nothing, by path; `*` is any key or item.
SETS = (
    *("racks/*/holds", "groups/*/stored_in", "waivers/*/covers", "spectrum/tv_occupied", "day/*/on_air"),
    *("day/*/units", "models/*/regions", "models/*/tuning_mhz", "models/*/powers_mw", "models/*/sends"),
    *("models/*/decodes", "models/*/ear_feed", "models/*/antennas", "models/*/takes_by_send"),
    *("land_mobile/*/tv_channels", "regions/*/land_mobile/*/tv_channels", "waivers", "cautions"),
    *("spectrum/allotted_mhz", "acts/*/allotted_mhz", "acts/*/holds", "told", "found/*/sent"),
    *("scenes/*/on_air", "day/*/scenes", "show/duties", "roster/*/present", "roster/*/away", "roster/*/duties/*"),
)
#: Lists that are read from the first item to the last.
ORDERED = (
    *("spares_mhz/*", "day", "mixes/*/desk_out", "links/*/packs/*/listens_to", "models/*/squelch"),
    *("acts/*/spares_mhz", "scenes"),
)  # fmt: skip
_SET = object()


def _waiver_name(item: Mapping[str, Any]) -> str:
    covers = item.get("covers")
    return " ".join([str(item.get("rule", "")), *sorted(map(str, covers if isinstance(covers, list) else ()))])


#: Lists of maps, and what an item of each is called.
NAMED: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "day": lambda item: str(item.get("what", "")),
    "waivers": _waiver_name,
    "cautions": lambda item: str(item.get("about", "")),
    "scenes": lambda item: str(item.get("scene", "")),
}
#: Of these, the ones whose order means something.
IN_ORDER = frozenset({"day", "scenes"})
_DIGITS = re.compile(r"(\d+)")


def _shapes() -> Shape:
    top: Shape = {}
    for path in SETS:
        node = top
        for part in path.split("/"):
            node = node.setdefault(part, {})
        node["is"] = _SET
    return top


_SHAPES = _shapes()


def canonical(values: Mapping[str, Any]) -> Tree:
    """Return a copy in which equal plans are equal values: sets sorted, without repeated items."""
    return {key: _canonical(value, _below(_SHAPES, key)) for key, value in values.items()}


def _below(shape: Shape, key: str) -> Shape:
    found: Shape = shape.get(key) or shape.get("*") or {}
    return found


def _canonical(value: Any, shape: Shape) -> Any:
    if isinstance(value, dict):
        return {key: _canonical(child, _below(shape, key)) for key, child in value.items()}
    if isinstance(value, list):
        items = [_canonical(item, _below(shape, "*")) for item in value]
        return _sorted(items) if shape.get("is") is _SET else items
    return value


def _sorted(items: list[Any]) -> list[Any]:
    kept: dict[Any, Any] = {}
    for item in items:
        kept.setdefault(order(item), item)
    return [kept[key] for key in sorted(kept)]


def order(value: Any) -> tuple[int, Any]:
    """Return a key that puts numbers first, then text, then anything else, each in one order."""
    if isinstance(value, bool):
        return 2, str(value)
    if isinstance(value, int | Decimal):
        return 0, Decimal(value).normalize()
    if isinstance(value, str):
        return 1, value
    return 3, json.dumps(_plain(value), sort_keys=True)


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(child) for key, child in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        return {"number": format(Decimal(value).normalize(), "f")}
    return value


def same(first: Any, second: Any) -> bool:
    """Say whether two values are equal; `505.3` is `505.300`, true is not 1."""
    if isinstance(first, dict) and isinstance(second, dict):
        return first.keys() == second.keys() and all(same(first[key], second[key]) for key in first)
    if isinstance(first, list) and isinstance(second, list):
        return len(first) == len(second) and all(map(same, first, second))
    return isinstance(first, bool) == isinstance(second, bool) and bool(first == second)


def is_set(path: Sequence[str]) -> bool:
    """Say whether the order means nothing in a list at a path."""
    shape = _SHAPES
    for part in path:
        shape = _below(shape, part)
    return shape.get("is") is _SET


def is_named(path: Sequence[str], value: Any) -> bool:
    """Say whether a value at a path is a list of maps whose items go by names."""
    return len(path) == 1 and path[0] in NAMED and isinstance(value, list)


def names(section: str, items: Sequence[Any]) -> list[str]:
    """Return a different name for each item of a list of maps: what it says it is, numbered where that repeats."""
    seen: Counter[str] = Counter()
    found = []
    for item in items:
        name = NAMED[section](item) if isinstance(item, dict) else ""
        seen[name] += 1
        found.append(name if seen[name] == 1 else f"{name}#{seen[name]}")
    return found


def unused_name(name: str, taken: set[str]) -> str:
    """Return a name that is not taken: the name itself, else numbered."""
    free, number = name, 1
    while free in taken:
        number += 1
        free = f"{name}#{number}"
    taken.add(free)
    return free


def _scene_slot(items: Sequence[Any], name: str) -> int:
    for index, item in enumerate(items):
        if isinstance(item, dict) and _natural(str(item.get("scene", ""))) > _natural(name):
            return index
    return len(items)


def _natural(name: str) -> list[tuple[int, int, str]]:
    return [(0, int(part), "") if part.isdigit() else (1, 0, part) for part in _DIGITS.split(name) if part]


def slot(items: Sequence[Any], new: Any) -> int:
    """Return where a new entry belongs if nothing says otherwise: before the first later one.

    In the day by the clock, among scenes by their names, numbers in them as numbers.
    """
    if isinstance(new, dict) and "scene" in new:
        return _scene_slot(items, str(new["scene"]))
    at = new.get("at") if isinstance(new, dict) else None
    if isinstance(at, str):
        for index, item in enumerate(items):
            there = item.get("at") if isinstance(item, dict) else None
            if isinstance(there, str) and there > at:
                return index
    return len(items)


__all__ = [
    "IN_ORDER",
    "NAMED",
    "ORDERED",
    "SETS",
    "Tree",
    "canonical",
    "is_named",
    "is_set",
    "names",
    "order",
    "same",
    "slot",
    "unused_name",
]
