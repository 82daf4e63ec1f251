"""Two resolved plans to changes: renames first, then what differs at each place, then carriers that were swapped."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from planlint.diff.change import Change
from planlint.diff.match import Rename, find_renames, rename
from planlint.diff.pairing import pair
from planlint.diff.tree import IN_ORDER, Tree, canonical, is_named, same
from planlint.document.nodes import escape

_CARRIER = "/carrier_mhz"
Path = tuple[str, ...]


def diff(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Change, ...]:
    """Return what turns one resolved plan into another; `apply` is its inverse.

    Args:
        old: the sections of the old plan by key, as plain values.
        new: those of the new one.

    Returns:
        Renames, then every other change in order of path. A map that is added or removed whole is one change.
    """
    before, after = canonical(old), canonical(new)
    renames = find_renames(before, after)
    for found in renames:
        before = canonical(rename(before, found))
    changes = list(_compare(before, after, ()))
    return (*(_renamed(found) for found in renames), *_swaps(changes))


def renames_in(changes: tuple[Change, ...]) -> tuple[Rename, ...]:
    """Return the renames among some changes."""
    return tuple(
        Rename(change.pointer.rpartition("/")[0], change.old, change.new)
        for change in changes
        if change.kind == "renamed"
    )


def _renamed(found: Rename) -> Change:
    return Change(
        "renamed",
        f"{found.section}/{escape(found.new)}",
        found.old,
        found.new,
        other_pointer=f"{found.section}/{escape(found.old)}",
    )


def _pointer(path: Path) -> str:
    return "".join(f"/{escape(part)}" for part in path)


def _compare(old: Any, new: Any, path: Path) -> Iterator[Change]:
    if isinstance(old, dict) and isinstance(new, dict):
        yield from _compare_maps(old, new, path)
    elif is_named(path, old) and is_named(path, new):
        yield from _compare_named(old, new, path)
    elif not same(old, new):
        yield Change("modified", _pointer(path), old, new)


def _compare_maps(old: Tree, new: Tree, path: Path) -> Iterator[Change]:
    for key in sorted(old.keys() | new.keys()):
        here = (*path, key)
        if key not in new:
            yield Change("removed", _pointer(here), old[key], None)
        elif key not in old:
            yield Change("added", _pointer(here), None, new[key])
        else:
            yield from _compare(old[key], new[key], here)


def _compare_named(old: list[Any], new: list[Any], path: Path) -> Iterator[Change]:
    found = pair(path[0], old, new)
    for name, item in found.gone:
        yield Change("removed", _pointer((*path, name)), item, None)
    for name, before, after in found.kept:
        yield from _compare(before, after, (*path, name))
    for name, item in found.come:
        yield Change("added", _pointer((*path, name)), None, item)
    if path[0] in IN_ORDER and found.new_order != found.expected:
        yield Change("modified", _pointer(path), list(found.old_order), list(found.new_order))


def _swaps(changes: list[Change]) -> Iterator[Change]:
    """Yield the changes with each pair of carriers that changed places as one."""
    moves = [index for index, change in enumerate(changes) if _is_move(change)]
    partner: dict[int, int] = {}
    for index in moves:
        if index in partner:
            continue
        first = changes[index]
        for other in moves:
            second = changes[other]
            if other > index and other not in partner and first.old == second.new and first.new == second.old:
                partner[index], partner[other] = other, index
                break
    for index, change in enumerate(changes):
        if index not in partner:
            yield change
        elif index < partner[index]:
            yield change._replace(kind="swapped", other_pointer=changes[partner[index]].pointer)


def _is_move(change: Change) -> bool:
    if change.kind != "modified" or not change.pointer.endswith(_CARRIER) or change.pointer.count("/") != 3:
        return False
    return change.pointer.startswith(("/carriers/", "/links/")) and all(
        isinstance(value, int | Decimal) for value in (change.old, change.new)
    )
