"""One side of a comparison: a plan with everything it uses, as of its own revision."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from planlint.diff.tree import Tree, canonical
from planlint.plan import Plan, Resolved, Shelf, build, resolve

_HEADS = frozenset({"plan_format", "kind", "uses"})


class Side(NamedTuple):
    """One side.

    Attributes:
        label: how the user named it.
        shelf: the files it is read from.
        file: the venue, plan or tour, relative to the root.
        resolved: that file with everything it uses.
        found: what the units were found to hold, by unit, where the user named an as-set record.
        record: the file of that record.
    """

    label: str
    shelf: Shelf
    file: str
    resolved: Resolved
    found: Mapping[str, Any]
    record: str | None

    @property
    def values(self) -> Tree:
        """The sections to compare, the crew's own regions among them."""
        own = {
            name: {key: value for key, value in values.items() if key not in _HEADS}
            for name, (values, _) in self.resolved.regions.items()
        }
        return canonical({"waivers": [], **self.resolved.values, **({"regions": own} if own else {})})

    def plan(self, values: Mapping[str, Any] | None = None) -> Plan:
        """Return the typed plan, or that of other values in its place."""
        resolved = self.resolved if values is None else self.resolved._replace(values=dict(values))
        return build(resolved, self.shelf)


def side(shelf: Shelf, file: str, label: str) -> Side:
    """Return one side; of an as-set record the plan it is about, and what was found.

    Args:
        shelf: the files.
        file: path relative to the shelf's root.
        label: how the user named it.
    """
    judged = shelf.judged(file)
    if judged.kind != "as-set":
        return Side(label, shelf, file, resolve(shelf, file), {}, None)
    found = judged.values.get("found")
    about = next((used.document.file for used in resolve(shelf, file).files if used.kind in {"venue", "plan"}), file)
    return Side(label, shelf, about, resolve(shelf, about), found if isinstance(found, dict) else {}, file)
