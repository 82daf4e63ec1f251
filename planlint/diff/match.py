"""Renames: an id that is gone and one that has come, with the same ends or content and the same mentions."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from planlint.diff.tree import Tree, canonical, order
from planlint.document.nodes import escape, split_pointer
from planlint.plan.model import Reference
from planlint.plan.references import references

#: Where the ids of a namespace are defined; what others are made of comes first.
SECTIONS = {
    "models": "/models",
    "earphones": "/earphones",
    "people": "/people",
    "mixes": "/mixes",
    "licences": "/licences",
    "scans": "/scans",
    "devices": "/devices",
    "groups": "/groups",
    "antennas": "/antennas",
    "racks": "/racks",
    "links": "/links",
    "others_on_air": "/spectrum/others_on_air",
}
_TELLING = frozenset({"label", "address", "file", "holds", "feed"})


class Rename(NamedTuple):
    """An id of a section (JSON Pointer to it) that goes by another name."""

    section: str
    old: str
    new: str


class Edit(NamedTuple):
    """One step of a rename: a value to replace, or with `to` a key to move; JSON Pointers with positions."""

    at: str
    value: str | None
    to: str | None


def find_renames(old: Tree, new: Tree) -> tuple[Rename, ...]:
    """Return the renames that lead from one canonical plan towards another, in the order to apply them."""
    found: list[Rename] = []
    for _ in range(2):  # a link may be known only by its renamed ends, and a unit only by its renamed link
        count = len(found)
        for space in SECTIONS:
            for renamed in _in_space(old, new, space):
                found.append(renamed)
                old = canonical(rename(old, renamed))
        if len(found) == count:
            break
    return tuple(found)


def rename(values: Tree, renamed: Rename) -> Tree:
    """Return a copy of a plan in which an id goes by another name wherever it is mentioned."""
    changed = copy.deepcopy(values)
    for edit in edits(values, renamed):
        parent = _at(changed, edit.at.rpartition("/")[0])
        last = split_pointer(edit.at)[-1]
        if edit.to is not None:
            parent[split_pointer(edit.to)[-1]] = parent.pop(last)
        else:
            parent[int(last) if isinstance(parent, list) else last] = edit.value
    return changed


def edits(values: Mapping[str, Any], renamed: Rename) -> list[Edit]:
    """Return the steps of a rename, the deepest first, so that no step moves the ground under the next."""
    space = next(space for space, section in SECTIONS.items() if section == renamed.section)
    found = [Edit(f"{renamed.section}/{escape(renamed.old)}", None, f"{renamed.section}/{escape(renamed.new)}")]
    for mention in _mentions(values, space, renamed.old):
        if mention.key:
            found.append(Edit(mention.at, None, f"{mention.at.rpartition('/')[0]}/{escape(renamed.new)}"))
        else:
            found.append(Edit(mention.at, renamed.new, None))
    return sorted(found, key=lambda edit: (-edit.at.count("/"), edit.at))


def _at(values: Any, pointer: str) -> Any:
    for part in split_pointer(pointer):
        values = values[int(part) if isinstance(values, list) else part]
    return values


def _defined(values: Mapping[str, Any], space: str) -> Mapping[str, Any]:
    node: Any = values
    for part in split_pointer(SECTIONS[space]):
        node = node.get(part) if isinstance(node, dict) else None
    return node if isinstance(node, dict) else {}


def _mentions(values: Mapping[str, Any], space: str, name: str) -> Iterator[Reference]:
    """Yield the mentions that mean this id and no other of the same name."""
    for mention in _references(values):
        if mention.id == name and space in mention.spaces:
            others = [other for other in mention.spaces if other != space and other in SECTIONS]
            if not any(name in _defined(values, other) for other in others):
                yield mention


def _references(values: Mapping[str, Any]) -> Iterator[Reference]:
    return references(values, None, "")


def _in_space(old: Tree, new: Tree, space: str) -> list[Rename]:
    before, after = _defined(old, space), _defined(new, space)
    gone, come = sorted(before.keys() - after.keys()), sorted(after.keys() - before.keys())
    if not gone or not come:
        return []
    known = {mention.id for mention in _references(old)}
    come = [name for name in come if name not in known]
    taken: dict[str, str] = {}
    for whole in (True, False):
        left = _prints(old, space, [name for name in gone if name not in taken], whole=whole)
        right = _prints(new, space, [name for name in come if name not in taken.values()], whole=whole)
        for print_, names in left.items():
            if len(names) == 1 and len(right.get(print_, ())) == 1:
                taken[names[0]] = right[print_][0]
    return [Rename(SECTIONS[space], first, second) for first, second in sorted(taken.items())]


def _prints(values: Tree, space: str, names: list[str], *, whole: bool) -> dict[Any, list[str]]:
    found: dict[Any, list[str]] = {}
    for name in names:
        print_ = _print(values, space, name, whole=whole)
        if print_ is not None:
            found.setdefault(print_, []).append(name)
    return found


def _print(values: Tree, space: str, name: str, *, whole: bool) -> Any:
    """Return what an id is known by: its content and mentions; or a link's ends, or telling content alone."""
    content = _defined(values, space)[name]
    if not isinstance(content, dict):
        return None
    if whole:
        mentioned = list(_mentions(values, space, name))
        own = {f"{SECTIONS[space]}/{escape(name)}", *(mention.at for mention in mentioned if mention.key)}
        mentions = (_place(mention.at, own) for mention in mentioned)
        entry = values.get("carriers", {}).get(name) if space == "links" else None
        return order([content, entry]), tuple(sorted(mentions))
    if space == "links":
        packs = content.get("packs")
        ends = [content.get("tx"), content.get("mic"), content.get("rx"), sorted(packs) if packs else None]
        return order(ends) if any(ends) else None
    return order(content) if _TELLING & content.keys() else None


def _place(pointer: str, own: set[str]) -> str:
    """Return where a mention stands, whatever the id is called and its position in a list."""
    kept, here = [], ""
    for part in split_pointer(pointer):
        here = f"{here}/{escape(part)}"
        if not part.isdigit():
            kept.append("*" if here in own else part)
    return "/".join(kept)
