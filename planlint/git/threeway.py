"""Three plans to one, by identity: what one side changed is taken, what both changed alike too, the rest is a conflict.

Nothing is dropped: an item stays unless a side took it out that the other left as it was.
"""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

from planlint.diff.tree import IN_ORDER, NAMED, is_set, names, same, slot

Path = tuple[str, ...]
Operation = Literal["replace", "add", "remove", "add item", "remove item"]


class _Missing:
    """What is not written."""

    def __repr__(self) -> str:
        return "unwritten"


MISSING = _Missing()


class Step(NamedTuple):
    """One step that takes over what theirs has.

    Attributes:
        operation: what to do to our text.
        path: where; an item of a list of maps goes by its name.
        item: of `add item` and `remove item` the item of a set.
    """

    operation: Operation
    path: Path
    item: Any = None


class Conflict(NamedTuple):
    """A place that both sides changed, each in its own way, and the step that would take theirs."""

    path: Path
    base: Any
    ours: Any
    theirs: Any
    step: Step


class Merged(NamedTuple):
    """The values with ours in every conflict, the steps from ours to there, and the conflicts."""

    values: dict[str, Any]
    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]


def three_way(base: dict[str, Any], ours: dict[str, Any], theirs: dict[str, Any]) -> Merged:
    """Merge two plans that come from one.

    Args:
        base: what both come from; empty where both sides added the file.
        ours: one side.
        theirs: the other.
    """
    merger = _Merger()
    values = merger.merge(base, ours, theirs, ())
    return Merged(values, tuple(merger.steps), tuple(merger.conflicts))


class _Merger:
    def __init__(self) -> None:
        self.steps: list[Step] = []
        self.conflicts: list[Conflict] = []

    def merge(self, base: Any, ours: Any, theirs: Any, path: Path) -> Any:
        if ours is theirs or (MISSING not in (ours, theirs) and same(ours, theirs)):
            return ours
        if isinstance(ours, dict) and isinstance(theirs, dict):
            return self._maps(base if isinstance(base, dict) else {}, ours, theirs, path)
        if isinstance(ours, list) and isinstance(theirs, list):
            before = base if isinstance(base, list) else []
            named = len(path) == 1 and path[0] in NAMED and _comparable(path[0], before, ours, theirs)
            if named and not (same(before, ours) and _reordered(path[0], ours, theirs)):
                return self._named(before, ours, theirs, path)
            if path == ("uses",) or (is_set(path) and path[0] not in NAMED):
                return self._sets(before, ours, theirs, path)
        step = _taking(ours, theirs, path)
        if _alike(base, ours):
            self.steps.append(step)
            return theirs
        if not _alike(base, theirs):
            self.conflicts.append(Conflict(path, base, ours, theirs, step))
        return ours

    def _maps(self, base: dict[str, Any], ours: dict[str, Any], theirs: dict[str, Any], path: Path) -> dict[str, Any]:
        merged = {}
        for key in dict.fromkeys((*ours, *theirs)):
            value = self.merge(base.get(key, MISSING), ours.get(key, MISSING), theirs.get(key, MISSING), (*path, key))
            if value is not MISSING:
                merged[key] = value
        return merged

    def _named(self, base: list[Any], ours: list[Any], theirs: list[Any], path: Path) -> list[Any]:
        by_name = [dict(zip(names(path[0], items), items, strict=True)) for items in (base, ours, theirs)]
        before, mine, other = by_name
        merged = []
        for name in mine:
            value = self.merge(before.get(name, MISSING), mine[name], other.get(name, MISSING), (*path, name))
            if value is not MISSING:
                merged.append(value)
        for name in other:
            if name not in mine:
                value = self.merge(before.get(name, MISSING), MISSING, other[name], (*path, name))
                if value is not MISSING:
                    merged.insert(slot(merged, value) if path[0] in IN_ORDER else len(merged), value)
        return merged

    def _sets(self, base: list[Any], ours: list[Any], theirs: list[Any], path: Path) -> list[Any]:
        merged = []
        for item in ours:
            if _has(base, item) and not _has(theirs, item):
                self.steps.append(Step("remove item", path, item))
            else:
                merged.append(item)
        for item in theirs:
            if not _has(base, item) and not _has(ours, item):
                self.steps.append(Step("add item", path, item))
                merged.append(item)
        return merged


def _taking(ours: Any, theirs: Any, path: Path) -> Step:
    if ours is MISSING:
        return Step("add", path)
    return Step("remove" if theirs is MISSING else "replace", path)


def _alike(first: Any, second: Any) -> bool:
    if first is MISSING or second is MISSING:
        return first is second
    return same(first, second)


def _has(items: list[Any], item: Any) -> bool:
    return any(same(item, there) for there in items)


def _reordered(section: str, ours: list[Any], theirs: list[Any]) -> bool:
    """Say whether their new items, put where such items belong, would stand in another order than theirs."""
    if section not in IN_ORDER:
        return False
    mine = names(section, ours)
    other = dict(zip(names(section, theirs), theirs, strict=True))
    merged = [other[name] for name in mine if name in other]
    for name, item in other.items():
        if name not in mine:
            merged.insert(slot(merged, item), item)
    return not same(merged, theirs)


def _comparable(section: str, *lists: list[Any]) -> bool:
    """Say whether items can be told apart by name, and stand in one order as far as they are in several lists."""
    known = [[NAMED[section](item) if isinstance(item, dict) else "" for item in items] for items in lists]
    if any(len(set(each)) != len(each) for each in known):
        return False
    if section not in IN_ORDER:
        return True
    base, ours, theirs = known
    return all(
        [name for name in first if name in second] == [name for name in second if name in first]
        for first, second in ((base, ours), (base, theirs), (ours, theirs))
    )
