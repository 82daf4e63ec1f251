"""Which items of two lists of maps are the same item: first what is equal, then what has the same name."""

from __future__ import annotations

from typing import Any, NamedTuple

from planlint.diff.tree import names, same, slot, unused_name


class Pairing(NamedTuple):
    """Two lists of maps side by side.

    Attributes:
        kept: for each item in both: its name, the old and the new one.
        gone: name and item of what only the old list has.
        come: name and item of what only the new list has; no such name stands in the old list.
        old_order: the names of the old list.
        new_order: the names of the new list, items that are kept by their old name.
        expected: the order that the new list has if nothing says otherwise.
    """

    kept: tuple[tuple[str, Any, Any], ...]
    gone: tuple[tuple[str, Any], ...]
    come: tuple[tuple[str, Any], ...]
    old_order: tuple[str, ...]
    new_order: tuple[str, ...]
    expected: tuple[str, ...]


def pair(section: str, old: list[Any], new: list[Any]) -> Pairing:
    """Put the items of two lists of maps side by side."""
    old_names, new_names = names(section, old), names(section, new)
    found = _equal(old, new)
    _by(found, old_names, new_names)
    _one_leaf_apart(found, old, new)
    taken = set(old_names)
    called = {j: old_names[i] for i, j in found.items()}
    for j, name in enumerate(new_names):
        if j not in called:
            called[j] = unused_name(name, taken)
    kept = {old_names[i]: (old[i], new[j]) for i, j in sorted(found.items())}
    come = tuple((called[j], new[j]) for j in range(len(new)) if j not in found.values())
    return Pairing(
        kept=tuple((name, *both) for name, both in kept.items()),
        gone=tuple((old_names[i], old[i]) for i in range(len(old)) if i not in found),
        come=come,
        old_order=tuple(old_names),
        new_order=tuple(called[j] for j in range(len(new))),
        expected=_expected([(name, both[1]) for name, both in kept.items()], come),
    )


def _equal(old: list[Any], new: list[Any]) -> dict[int, int]:
    """Match equal items, those in the same position first: of two alike it is the other one that was edited."""
    found = {i: i for i in range(min(len(old), len(new))) if same(old[i], new[i])}
    free = [j for j in range(len(new)) if j not in found]
    for i, item in enumerate(old):
        j = None if i in found else next((j for j in free if same(item, new[j])), None)
        if j is not None:
            found[i] = j
            free.remove(j)
    return found


def _by(found: dict[int, int], old: list[str], new: list[str]) -> None:
    taken = set(found.values())
    free = {name: j for j, name in enumerate(new) if j not in taken}
    for i, name in enumerate(old):
        if i not in found and name in free:
            found[i] = free.pop(name)


def _one_leaf_apart(found: dict[int, int], old: list[Any], new: list[Any]) -> None:
    for i, item in enumerate(old):
        if i in found:
            continue
        taken = set(found.values())
        near = [j for j in range(len(new)) if j not in taken and _differing(item, new[j]) == 1]
        if near:
            found[i] = near[0]


def _differing(old: Any, new: Any) -> int:
    if not isinstance(old, dict) or not isinstance(new, dict) or old.keys() != new.keys():
        return -1
    return sum(not same(old[key], new[key]) for key in old)


def _expected(kept: list[tuple[str, Any]], come: tuple[tuple[str, Any], ...]) -> tuple[str, ...]:
    sequence = list(kept)
    for name, item in come:
        sequence.insert(slot([there for _, there in sequence], item), (name, item))
    return tuple(name for name, _ in sequence)
