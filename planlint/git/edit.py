"""Edits of a plan file's text that leave every other byte alone: one value, entry or item at a time.

Each edit reads the text anew, so that none stands on the ground another one has moved. What cannot be done without
touching more than was asked raises `CannotEditError`.
"""

from __future__ import annotations

from typing import NamedTuple

from planlint.document import Document, Mapping, Node, Scalar, Sequence, parse
from planlint.document.nodes import split_pointer, walk
from planlint.git.source import bounds, entry_lines, extent, flow, is_flow, last_line, written


class CannotEditError(ValueError):
    """A text cannot be edited as asked."""


class Source(NamedTuple):
    """A value in another text: its document, its key if it stands in a map, and its node."""

    document: Document
    key: Scalar | None
    node: Node


def source(document: Document, pointer: str) -> Source:
    """Return the value at a pointer of a document, which must be there."""
    found = None
    for step in walk(_root(document), pointer):
        found = step
    if found is None or found.pointer != pointer:
        raise CannotEditError(f"nothing stands at {pointer}")
    return Source(document, found.key, found.node)


def replace(text: str, pointer: str, new: Source) -> str:
    """Return a text in which the value at a pointer is another."""
    here = source(parse(text, ""), pointer)
    if is_block(here) or is_block(new):
        raise CannotEditError(f"{pointer} runs over several lines")
    start, end = extent(here.document, here.node)
    inline = isinstance(new.node, Scalar) and new.node.style != "block" and not _in_flow(text, pointer)
    return text[:start] + (written(new.document, new.node) if inline else flow(new.document, new.node)) + text[end:]


def replace_scalar(text: str, pointer: str, value: str, *, key: bool = False) -> str:
    """Return a text in which an id, as a value or as a key, is another."""
    here = source(parse(text, ""), pointer)
    scalar = here.key if key else here.node
    if not isinstance(scalar, Scalar):
        raise CannotEditError(f"{pointer} is no id")
    start, end = bounds(text, scalar.span)
    return text[:start] + value + text[end:]


def remove(text: str, pointer: str) -> str:
    """Return a text without the entry or item at a pointer; a map or list that was its only one is empty then."""
    document = parse(text, "")
    above, _, last = pointer.rpartition("/")
    holder = source(document, above)
    nodes, index = _members(holder.node, split_pointer(f"/{last}")[0])
    if is_flow(document, holder.node):
        return _remove_in_flow(document, nodes, index)
    if len(nodes) == 1:
        return _empty(text, holder)
    first, end = nodes[index][0].span.line, last_line(document, nodes[index][1])
    lines = text.split("\n")
    head = lines[first - 1][: nodes[index][0].span.column - 1]
    if head.strip(" -") or (isinstance(holder.node, Mapping) and head.strip()):
        raise CannotEditError(f"{pointer} does not begin its line")
    return "\n".join(lines[: first - 1] + lines[end:])


def add_entry(text: str, pointer: str, new: Source, after: str | None) -> str:
    """Return a text with one more entry in the map above a pointer, after a key if that stands there."""
    document = parse(text, "")
    holder = source(document, pointer.rpartition("/")[0]).node
    if not isinstance(holder, Mapping) or new.key is None:
        raise CannotEditError(f"no map above {pointer}")
    pair = f"{flow(new.document, new.key)}: {flow(new.document, new.node)}"
    if is_flow(document, holder):
        return _add_in_flow(document, holder, pair, [value for _, value in holder.entries.values()])
    first_key = next(iter(holder.entries.values())).key
    lines = entry_lines(new.document, new.key, new.node, first_key.span.column)
    lines = lines or [" " * (first_key.span.column - 1) + pair]
    place = holder.entries[after] if after in holder.entries else next(reversed(holder.entries.values()))
    return _insert_lines(text, last_line(document, place.value), lines)


def add_item(text: str, pointer: str, new: Source, index: int) -> str:
    """Return a text with one more item in the list at a pointer, before the one that has the index now."""
    document = parse(text, "")
    holder = source(document, pointer).node
    if not isinstance(holder, Sequence):
        raise CannotEditError(f"no list at {pointer}")
    item = flow(new.document, new.node)
    if is_flow(document, holder):
        if index >= len(holder.items):
            return _add_in_flow(document, holder, item, holder.items)
        start, _ = extent(document, holder.items[index])
        return f"{text[:start]}{item}, {text[start:]}"
    lines = text.split("\n")
    before = holder.items[min(index, len(holder.items) - 1)].span.line
    head = lines[before - 1].partition("-")[0]
    if head.strip():
        raise CannotEditError(f"{pointer} does not begin its line")
    return _insert_lines(
        text, before - 1 if index < len(holder.items) else last_line(document, holder.items[-1]), [f"{head}- {item}"]
    )


def is_block(here: Source) -> bool:
    """Say whether a value is a map or list without brackets, or a text over several lines."""
    if isinstance(here.node, Scalar):
        return here.node.style == "block" or here.node.span.end_line > here.node.span.line
    return not is_flow(here.document, here.node)


def _root(document: Document) -> Mapping:
    if document.root is None:
        raise CannotEditError("the text is no plan any more")
    return document.root


def _in_flow(text: str, pointer: str) -> bool:
    document = parse(text, "")
    return any(is_flow(document, step.node) for step in walk(_root(document), pointer.rpartition("/")[0]))


def _members(node: Node, last: str) -> tuple[list[tuple[Node, Node]], int]:
    """Return first and last node of every entry or item, and the place of the one that is meant."""
    if isinstance(node, Mapping) and last in node.entries:
        return [(key, value) for key, value in node.entries.values()], list(node.entries).index(last)
    if isinstance(node, Sequence) and last.isdigit() and int(last) < len(node.items):
        return [(item, item) for item in node.items], int(last)
    raise CannotEditError(f"nothing is called {last} there")


def _remove_in_flow(document: Document, nodes: list[tuple[Node, Node]], index: int) -> str:
    text = document.text
    own = start, end = extent(document, nodes[index][0])[0], extent(document, nodes[index][1])[1]
    if index + 1 < len(nodes):
        end = extent(document, nodes[index + 1][0])[0]
    elif index:
        start = extent(document, nodes[index - 1][1])[1]
    if "#" in text[start : own[0]] + text[own[1] : end]:
        raise CannotEditError("a comment stands beside what is to go")
    return text[:start] + text[end:]


def _empty(text: str, holder: Source) -> str:
    """Return a text in which a block map or list is written as an empty one behind its key."""
    if holder.key is None:
        raise CannotEditError("the whole file would be empty")
    colon = bounds(text, holder.key.span)[1]
    start, end = extent(holder.document, holder.node)
    if text[colon] != ":" or "#" in text[colon + 1 : start]:
        raise CannotEditError("a comment stands beside what is to go")
    return text[: colon + 1] + (" {}" if isinstance(holder.node, Mapping) else " []") + text[end:]


def _add_in_flow(document: Document, holder: Node, piece: str, there: list[Node]) -> str:
    text = document.text
    end = extent(document, there[-1])[1] if there else extent(document, holder)[0] + 1
    return f"{text[:end]}{', ' if there else ''}{piece}{text[end:]}"


def _insert_lines(text: str, after: int, new: list[str]) -> str:
    lines = text.split("\n")
    ending = "\r" if lines[0].endswith("\r") else ""
    if after == len(lines):  # the last line has no line end of its own
        return "\n".join([*lines, *new])
    return "\n".join(lines[:after] + [line + ending for line in new] + lines[after:])


__all__ = [
    "CannotEditError",
    "Source",
    "add_entry",
    "add_item",
    "remove",
    "replace",
    "replace_scalar",
    "source",
]
