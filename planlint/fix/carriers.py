"""New carriers written into a plan file: only their own characters change, comments and layout stay.

A carrier that is written is replaced where it stands. One that is not is put into the link's entry, or the entry
into the section. An entry under `stored` follows the carrier, or goes where no channel holds it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from planlint.document.nodes import Mapping as Map
from planlint.document.nodes import Node, Scalar, escape, split_pointer, walk
from planlint.document.parse import parse
from planlint.plan.quantity import mhz

_CLOSING = re.compile(r"(?:[\s,]|#[^\r\n]*)*[}\]]")
_BREAK = re.compile(r"\r\n|[\r\n\x85\u2028\u2029]")


class NotWritableError(ValueError):
    """The file has no place for a carrier; the message says why. Nothing was changed."""


class Carrier(NamedTuple):
    """A link's new carrier in Hz, and for each user group that recalls it the channel, or None: recalled no more."""

    entry_at: str
    carrier_hz: int
    stored: tuple[tuple[str, int | None], ...] = ()


class _Edit(NamedTuple):
    start: int
    end: int
    text: str


def with_carriers(text: str, file: str, carriers: Mapping[str, Carrier]) -> str:
    """Return a file's text with other carriers.

    Args:
        text: the file's text as it is, line ends and all.
        file: its name, for messages.
        carriers: new carriers by link.

    Raises:
        NotWritableError: a carrier has no place in the file, or the result would not read back as meant.
    """
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    body = text[len(mark) :]
    document = parse(body, file)
    if document.root is None or document.fatal:
        raise NotWritableError(f"{file} gives no document")
    page = _Page(body)
    edits = [edit for name in sorted(carriers) for edit in _edits(page, document.root, file, name, carriers[name])]
    out = body
    for edit in sorted(edits, reverse=True):
        out = out[: edit.start] + edit.text + out[edit.end :]
    _read_back(document.root, out, file, carriers)
    return mark + out


class _Page:
    """A text by lines as YAML counts them."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._starts = [0, *(found.end() for found in _BREAK.finditer(text))]
        first = _BREAK.search(text)
        self.newline = first.group() if first else "\n"

    def at(self, line: int, column: int) -> int:
        return self._starts[line - 1] + column - 1

    def start(self, node: Node) -> int:
        return self.at(node.span.line, node.span.column)

    def end(self, node: Node) -> int:
        """Return where a node ends; of a flow collection, after its bracket."""
        if isinstance(node, Scalar) or self.text[self.start(node)] not in "{[":
            return self.at(node.span.end_line, node.span.end_column)
        parts = [item.value for item in node.entries.values()] if isinstance(node, Map) else node.items
        after = self.end(parts[-1]) if parts else self.start(node) + 1
        closing = _CLOSING.match(self.text, after)
        return closing.end() if closing else after

    def flow(self, node: Node) -> bool:
        return self.text[self.start(node)] == "{"

    def line_of(self, index: int) -> tuple[int, int]:
        """Return where the line of an index begins, and where the next one does."""
        begin = max(start for start in self._starts if start <= index)
        after = [start for start in self._starts if start > index]
        return begin, (after[0] if after else len(self.text))


def _find(root: Map, pointer: str) -> Node | None:
    steps = list(walk(root, pointer))
    return steps[-1].node if len(steps) == len(split_pointer(pointer)) + 1 else None


def _edits(page: _Page, root: Map, file: str, name: str, new: Carrier) -> Iterator[_Edit]:
    number = mhz(new.carrier_hz)
    written = _find(root, f"{new.entry_at}/carrier_mhz")
    if isinstance(written, Scalar):
        yield _Edit(page.start(written), page.end(written), number)
    elif isinstance(entry := _find(root, new.entry_at), Map) and entry.entries:
        yield _put(page, entry, f"carrier_mhz: {number}")
    else:
        section = root.entries.get(split_pointer(new.entry_at)[0])
        if section is None or not isinstance(section.value, Map) or not section.value.entries or entry is not None:
            raise NotWritableError(f"{file} has no place for the carrier of {name}: write {new.entry_at} first")
        yield _put(page, section.value, f"{name}: {{carrier_mhz: {number}}}", last=True)
    yield from _stored(page, root, new)


def _put(page: _Page, there: Map, text: str, *, last: bool = False) -> _Edit:
    """Return the edit that puts an entry into a mapping, first or last."""
    if page.flow(there):
        if last:
            tail = next(reversed(there.entries.values())).value
            return _Edit(page.end(tail), page.end(tail), f", {text}")
        start = page.start(there) + 1
        return _Edit(start, start, f"{text}, ")
    first = next(iter(there.entries.values())).key
    indent = " " * (first.span.column - 1)
    if not last:
        start = page.at(first.span.line, first.span.column)
        return _Edit(start, start, f"{text}{page.newline}{indent}")
    tail = next(reversed(there.entries.values())).value
    _, after = page.line_of(page.end(tail) - 1)
    before = "" if page.text[:after].endswith(("\n", "\r")) else page.newline
    return _Edit(after, after, f"{before}{indent}{text}{page.newline}")


def _stored(page: _Page, root: Map, new: Carrier) -> Iterator[_Edit]:
    entry = _find(root, new.entry_at)
    there = entry.entries.get("stored") if isinstance(entry, Map) else None
    if there is None or not isinstance(there.value, Map):
        return
    channels = dict(new.stored)
    gone = [group for group in there.value.entries if channels.get(group, 0) is None]
    if isinstance(entry, Map) and gone and len(gone) == len(there.value.entries):
        yield _drop(page, entry, "stored")
        return
    for group, item in there.value.entries.items():
        if group in gone:
            yield _drop(page, there.value, group)
        elif channels.get(group) is not None:
            yield _Edit(page.start(item.value), page.end(item.value), str(channels[group]))


def _drop(page: _Page, there: Map, key: str) -> _Edit:
    item = there.entries[key]
    start, end = page.start(item.key), page.end(item.value)
    if not page.flow(there):
        return _Edit(page.line_of(start)[0], page.line_of(end - 1)[1], "")
    before = re.search(r",\s*\Z", page.text[:start])
    if before is not None:
        return _Edit(before.start(), end, "")
    after = re.match(r"\s*,\s*", page.text[end:])
    return _Edit(start, end + (after.end() if after else 0), "")


def _read_back(before: Map, text: str, file: str, carriers: Mapping[str, Carrier]) -> None:
    """Make sure that the new text holds the new carriers and is otherwise what it was."""
    after = parse(text, file).root
    was, now = dict(_leaves(before, "")), dict(_leaves(after, "")) if after is not None else {}
    for name, new in carriers.items():
        at = f"{new.entry_at}/carrier_mhz"
        if now.get(at) != mhz(new.carrier_hz):
            raise NotWritableError(f"{file} cannot be edited for {name} as it is laid out: enter the carrier by hand")
        for leaves in (was, now):
            for pointer in [one for one in leaves if one == at or one.startswith(f"{new.entry_at}/stored")]:
                del leaves[pointer]
    if was != now:
        raise NotWritableError(f"{file} cannot be edited as it is laid out: enter the carriers by hand")


def _leaves(node: Node, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(node, Scalar):
        yield at, node.text
    elif isinstance(node, Map):
        for key, item in node.entries.items():
            yield from _leaves(item.value, f"{at}/{escape(key)}")
    else:
        for index, part in enumerate(node.items):
            yield from _leaves(part, f"{at}/{index}")
