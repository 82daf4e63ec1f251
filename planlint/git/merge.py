"""The text of a three-way merge: comments and layout stay, real conflicts are marked at their lines.

Whatever makes the text, it is read back: it counts only if it says what the merge by identity says.
"""

from __future__ import annotations

import difflib
from typing import Any, NamedTuple

from planlint.diff.match import Rename, edits, find_renames, rename
from planlint.diff.tree import IN_ORDER, NAMED, canonical, same, slot
from planlint.document import Document, Node, Sequence, parse
from planlint.document.nodes import escape
from planlint.git import places
from planlint.git.edit import CannotEditError, Source, add_entry, add_item, remove, replace, replace_scalar, source
from planlint.git.textmerge import merge_lines
from planlint.git.threeway import Conflict, Path, Step, three_way
from planlint.schema.judge import is_plan_file
from planlint.schema.kinds import KINDS
from planlint.schema.read import walk
from planlint.schema.store import schema

Values = dict[str, Any]
OURS, THEIRS = "ours", "theirs"


class Result(NamedTuple):
    """A merged file.

    Attributes:
        text: the text, with markers at every conflict.
        clean: it needs nobody's decision.
        conflicts: what both sides changed, in words.
        by: how it was made: `lines` as git does, `identity`, or `none` where it is no plan of a kind that is known.
    """

    text: str
    clean: bool
    conflicts: tuple[str, ...]
    by: str


class _Side(NamedTuple):
    text: str
    document: Document
    values: Values


class _NoPlanError(ValueError):
    """A text cannot be merged by what it says."""


def merge(base: str, ours: str, theirs: str, *, marker: int = 7) -> Result:
    """Merge two texts of a plan file that come from one.

    Args:
        base: what both come from; empty where both sides added the file.
        ours: our text.
        theirs: their text.
        marker: how long a conflict marker is.
    """
    lines, lines_clean = merge_lines(base, ours, theirs, marker=marker)
    try:
        sides = [_read(text) for text in (base or _head(ours), ours, theirs)]
    except _NoPlanError:
        return Result(lines, lines_clean, () if lines_clean else ("the lines of both sides meet",), "none")
    conflicts: tuple[str, ...] = ()
    try:
        before, mine, other = _renamed(sides[0], sides[1], sides[2])
        found = three_way(before.values, mine.values, other.values)
        conflicts = tuple(_words(conflict) for conflict in found.conflicts)
        if not conflicts and lines_clean and _says(lines, found.values):
            return Result(lines, clean=True, conflicts=(), by="lines")
        text = _taken(mine.text, found.steps, other)
        if not _says(text, found.values):
            raise CannotEditError("the edited text says something else")
        if not conflicts:
            return Result(text, clean=True, conflicts=(), by="identity")
        taken = _taken(text, [conflict.step for conflict in found.conflicts], other)
        _read_edited(taken)
        return Result(marked(text, taken, marker), clean=False, conflicts=conflicts, by="identity")
    except CannotEditError as error:
        text = lines if not lines_clean else marked(ours, theirs, marker)
        return Result(text, clean=False, conflicts=(*conflicts, f"to be merged by hand: {error}"), by="lines")


def marked(ours: str, theirs: str, marker: int) -> str:
    """Return a text that has both sides wherever they differ, between conflict markers."""
    first, second = ours.splitlines(keepends=True), theirs.splitlines(keepends=True)
    said: list[str] = []
    for kind, a, b, c, d in difflib.SequenceMatcher(None, first, second, autojunk=False).get_opcodes():
        if kind == "equal":
            said += first[a:b]
            continue
        said += [f"{'<' * marker} {OURS}\n", *_ended(first[a:b]), f"{'=' * marker}\n", *_ended(second[c:d])]
        said.append(f"{'>' * marker} {THEIRS}\n")
    return "".join(said)


def _ended(lines: list[str]) -> list[str]:
    return [line if line.endswith("\n") else f"{line}\n" for line in lines]


def _head(text: str) -> str:
    """Return the least text of the same kind: what two sides that added a file both come from."""
    return "".join(line for line in text.splitlines(keepends=True) if line.startswith(("plan_format:", "kind:")))


def _read(text: str) -> _Side:
    document = parse(text, "")
    if document.fatal or document.troubles or document.root is None or not is_plan_file(document) or "\r" in text:
        raise _NoPlanError
    kind = document.root.entries.get("kind")
    name = getattr(kind.value, "text", "") if kind else ""
    if name not in KINDS:
        raise _NoPlanError
    found = walk(document.root, schema(name))
    if found.refused:
        raise _NoPlanError
    return _Side(text, document, found.value)


def _says(text: str, values: Values) -> bool:
    try:
        return same(canonical(_read(text).values), canonical(values))
    except _NoPlanError:
        return False


def _renamed(base: _Side, ours: _Side, theirs: _Side) -> tuple[_Side, _Side, _Side]:
    """Return the sides with the ids that either side gave: a rename on one meets an edit on the other."""
    start = canonical(base.values)
    mine, other = find_renames(start, canonical(ours.values)), find_renames(start, canonical(theirs.values))
    for found, (there, here) in ((mine, (other, theirs)), (other, (mine, ours))):
        for each in found:
            rival = next((one for one in there if (one.section, one.old) == (each.section, each.old)), None)
            if rival is not None and rival.new != each.new:
                raise CannotEditError(f"{each.old} is called {each.new} by one side and {rival.new} by the other")
            if rival is None and each.new in here.text:
                continue
            base, ours, theirs = (_rename(side, each) for side in (base, ours, theirs))
    return base, ours, theirs


def _rename(side: _Side, renamed: Rename) -> _Side:
    section: Any = side.values
    for part in renamed.section.split("/")[1:]:
        section = section.get(part, {}) if isinstance(section, dict) else {}
    if renamed.old not in section:
        return side
    text = side.text
    for edit in edits(side.values, renamed):
        text = replace_scalar(text, edit.at, renamed.new, key=edit.to is not None)
    read = _read(text)
    if not same(canonical(read.values), canonical(rename(side.values, renamed))):
        raise CannotEditError("the renamed text says something else")
    return read


def _taken(text: str, steps: list[Step] | tuple[Step, ...], theirs: _Side) -> str:
    for step in steps:
        text = _take(text, step, theirs)
    return text


def _take(text: str, step: Step, theirs: _Side) -> str:
    here = _read_edited(text)
    if step.operation == "remove item":
        return remove(text, f"{places.pointer(here.values, step.path)}/{places.index(here.values, step)}")
    if step.operation == "add item":
        there = source(
            theirs.document, f"{places.pointer(theirs.values, step.path)}/{places.index(theirs.values, step)}"
        )
        at = places.pointer(here.values, step.path)
        return add_item(text, at, there, _count(here, at))
    if step.operation == "remove":
        return remove(text, places.pointer(here.values, step.path))
    there = source(theirs.document, places.pointer(theirs.values, step.path))
    if step.operation == "replace":
        return _replaced(text, places.pointer(here.values, step.path), there, step.path, theirs)
    if len(step.path) == 2 and step.path[0] in NAMED:
        return _add_named(text, step.path[0], there, here.values[step.path[0]], places.value(theirs.values, step.path))
    at = f"{places.pointer(here.values, step.path[:-1])}/{escape(step.path[-1])}"
    return add_entry(text, at, there, places.before(here.values, theirs.values, step.path))


def _replaced(text: str, at: str, there: Source, path: Path, theirs: _Side) -> str:
    """Return a text with another value; where that cannot be done in place, its entry goes and theirs comes."""
    try:
        return replace(text, at, there)
    except CannotEditError:
        if len(path) == 2 and path[0] in NAMED:
            raise
        here = _read_edited(text)
        after = places.before(here.values, theirs.values, path)
        return add_entry(remove(text, at), at, there, after)


def _add_named(text: str, section: str, there: Source, items: list[Any], value: Any) -> str:
    index = slot(items, value) if section in IN_ORDER else len(items)
    return add_item(text, f"/{section}", there, index)


def _read_edited(text: str) -> _Side:
    try:
        return _read(text)
    except _NoPlanError as error:
        raise CannotEditError("the edited text is no plan") from error


def _count(side: _Side, at: str) -> int:
    node: Node = source(side.document, at).node
    return len(node.items) if isinstance(node, Sequence) else 0


def _words(conflict: Conflict) -> str:
    return (
        f"{' '.join(conflict.path)}: ours {_short(conflict.ours)}, theirs {_short(conflict.theirs)}, "
        f"before {_short(conflict.base)}"
    )


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."
