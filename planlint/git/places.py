"""Where things stand in two texts of one plan: items of lists of maps by name, items of sets by value."""

from __future__ import annotations

from typing import Any

from planlint.diff.tree import NAMED, names, same
from planlint.document.nodes import escape
from planlint.git.edit import CannotEditError
from planlint.git.threeway import Path, Step

Values = dict[str, Any]


def pointer(values: Values, path: Path) -> str:
    """Return a pointer with positions for a path with names.

    Raises:
        CannotEditError: nothing goes by that name.
    """
    parts = list(path)
    if len(path) >= 2 and path[0] in NAMED and isinstance(values.get(path[0]), list):
        found = names(path[0], values[path[0]])
        if path[1] not in found:
            raise CannotEditError(f"nothing is called {path[1]} in {path[0]}")
        parts[1] = str(found.index(path[1]))
    return "".join(f"/{escape(part)}" for part in parts)


def value(values: Any, path: Path) -> Any:
    """Return what stands at a path with names."""
    for depth, part in enumerate(path):
        if isinstance(values, list):
            values = values[names(path[0], values).index(part)] if depth == 1 else values[int(part)]
        else:
            values = values[part]
    return values


def index(values: Values, step: Step) -> int:
    """Return the position of a set's item.

    Raises:
        CannotEditError: the set does not have it.
    """
    items = value(values, step.path)
    found = next((at for at, item in enumerate(items) if same(item, step.item)), None)
    if found is None:
        raise CannotEditError(f"{step.item} is not in {'/'.join(step.path)}")
    return found


def before(here: Values, theirs: Values, path: Path) -> str | None:
    """Return the key that stands before a path's last one in theirs and that ours has too."""
    keys = list(value(theirs, path[:-1]))
    mine = value(here, path[:-1])
    earlier = keys[: keys.index(path[-1])] if path[-1] in keys else []
    return next((key for key in reversed(earlier) if key in mine and key != path[-1]), None)
