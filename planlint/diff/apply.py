"""Changes applied to a plan, and the same steps as JSON Patch (RFC 6902)."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from typing import Any

from planlint.diff.change import Change
from planlint.diff.compare import renames_in
from planlint.diff.match import edits
from planlint.diff.tree import IN_ORDER, NAMED, Tree, canonical, names, slot
from planlint.document.nodes import escape, split_pointer

Operation = dict[str, Any]
_STEPS = {"removed": 0, "swapped": 1, "modified": 1, "added": 2}


def apply(old: Mapping[str, Any], changes: Iterable[Change]) -> Tree:
    """Return the canonical new plan that the changes of `diff` make of an old one."""
    return canonical(_Editor(old).run(tuple(changes)).plan)


def to_json_patch(old: Mapping[str, Any], changes: Iterable[Change]) -> list[Operation]:
    """Return the changes as JSON Patch operations on the canonical old plan (RFC 6902).

    Items of sets may stand in another order in the result than in the canonical new plan.
    """
    return _Editor(old).run(tuple(changes)).operations


def _step(change: Change) -> int:
    """Return when a change is applied: the order of the day, or of the scenes, is settled when all its entries are there."""
    return 3 if change.pointer[1:] in IN_ORDER and change.kind == "modified" else _STEPS[change.kind]


class _Editor:
    """Applies changes one after the other and notes each step as an operation."""

    def __init__(self, old: Mapping[str, Any]) -> None:
        self.plan = copy.deepcopy(canonical(old))
        self.operations: list[Operation] = []
        self._items: dict[str, dict[str, Any]] = {}

    def run(self, changes: tuple[Change, ...]) -> _Editor:
        for renamed in renames_in(changes):
            for edit in edits(self.plan, renamed):
                if edit.to is not None:
                    self._move(edit.at, edit.to)
                else:
                    self._replace(edit.at, edit.value)
        self._resort()
        for section in NAMED:
            items = self.plan.get(section)
            if isinstance(items, list):
                self._items[section] = dict(zip(names(section, items), items, strict=True))
        for change in sorted((change for change in changes if change.kind != "renamed"), key=_step):
            self._change(change)
        return self

    def _resort(self) -> None:
        """Put sets of maps in their one order again: a rename in them may have changed it, and names count by it."""
        for section in NAMED:
            items, wanted = self.plan.get(section), canonical(self.plan).get(section)
            if isinstance(items, list) and wanted is not None and items != wanted:
                self._replace(f"/{section}", wanted)

    def _change(self, change: Change) -> None:
        at = self._positions(change.pointer)
        if change.kind == "removed":
            self._remove(at)
        elif change.kind == "added":
            self._add(change.pointer, at, copy.deepcopy(change.new))
        elif change.kind == "swapped" and change.other_pointer is not None:
            self._replace(at, change.new)
            self._replace(self._positions(change.other_pointer), change.old)
        elif self._is_order(change):
            self._reorder(change.pointer[1:], change.new)
        else:
            self._replace(at, copy.deepcopy(change.new))

    def _positions(self, pointer: str) -> str:
        """Return a pointer in which an item of a list of maps is addressed by its position now."""
        parts = split_pointer(pointer)
        if len(parts) < 2 or parts[0] not in self._items or parts[1] not in self._items[parts[0]]:
            return pointer
        item = self._items[parts[0]][parts[1]]
        index = next(index for index, there in enumerate(self.plan[parts[0]]) if there is item)
        return "".join(f"/{escape(part)}" for part in (parts[0], str(index), *parts[2:]))

    def _parent(self, at: str) -> tuple[Any, Any]:
        node: Any = self.plan
        parts = split_pointer(at)
        for part in parts[:-1]:
            node = node[int(part) if isinstance(node, list) else part]
        return node, int(parts[-1]) if isinstance(node, list) else parts[-1]

    def _remove(self, at: str) -> None:
        parent, key = self._parent(at)
        del parent[key]
        self.operations.append({"op": "remove", "path": at})

    def _replace(self, at: str, value: Any) -> None:
        parent, key = self._parent(at)
        parent[key] = value
        self.operations.append({"op": "replace", "path": at, "value": value})

    def _move(self, at: str, to: str) -> None:
        parent, key = self._parent(at)
        parent[split_pointer(to)[-1]] = parent.pop(key)
        self.operations.append({"op": "move", "from": at, "path": to})

    def _add(self, pointer: str, at: str, value: Any) -> None:
        parts = split_pointer(pointer)
        items = self.plan.get(parts[0])
        if len(parts) == 2 and parts[0] in NAMED and isinstance(items, list):
            index = slot(items, value) if parts[0] in IN_ORDER else len(items)
            items.insert(index, value)
            self._items.setdefault(parts[0], {})[parts[1]] = value
            at = f"/{parts[0]}/{index}"
        else:
            parent, key = self._parent(at)
            parent[key] = value
        self.operations.append({"op": "add", "path": at, "value": copy.deepcopy(value)})

    def _is_order(self, change: Change) -> bool:
        """Say whether a change is of the order of a list alone: both values are lists of its items' names."""
        section = change.pointer[1:]
        named = isinstance(change.new, list) and all(isinstance(name, str) for name in change.new)
        return section in IN_ORDER and isinstance(self.plan.get(section), list) and named

    def _reorder(self, section: str, wanted: list[str]) -> None:
        items = self.plan[section]
        for index, name in enumerate(wanted):
            item = self._items[section][name]
            now = next(place for place, there in enumerate(items) if there is item)
            if now != index:
                items.insert(index, items.pop(now))
                self.operations.append({"op": "move", "from": f"/{section}/{now}", "path": f"/{section}/{index}"})
