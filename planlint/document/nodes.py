"""The node tree of one YAML file: every node knows its exact range, and scalars keep the author's text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

Style = Literal["plain", "quoted", "block"]


class Span(NamedTuple):
    """A range of text: 1-based line and column in code points, the end column exclusive."""

    line: int
    column: int
    end_line: int
    end_column: int


class Scalar:
    """A scalar as its author wrote it; `refused` marks one that counts as unwritten."""

    __slots__ = ("refused", "span", "style", "text")

    def __init__(self, text: str, style: Style, span: Span, *, refused: bool = False) -> None:
        self.text = text
        self.style: Style = style
        self.span = span
        self.refused = refused


class Entry(NamedTuple):
    """A key and its value in a mapping."""

    key: Scalar
    value: Node


class Mapping:
    """A mapping; of a key written twice the first is kept and the second is reported."""

    __slots__ = ("entries", "span")

    def __init__(self, span: Span) -> None:
        self.entries: dict[str, Entry] = {}
        self.span = span


class Sequence:
    """A sequence."""

    __slots__ = ("items", "span")

    def __init__(self, span: Span) -> None:
        self.items: list[Node] = []
        self.span = span


Node = Scalar | Mapping | Sequence


class Trouble(NamedTuple):
    """Something wrong in a file's text or shape: the id of the rule that words it, where, and with what.

    `values` carries what the message needs; `related` further ranges of the same file with a label each.
    """

    rule: str
    span: Span
    pointer: str
    values: dict[str, str]
    related: tuple[tuple[Span, str], ...] = ()


class Document(NamedTuple):
    """One file: its path relative to the root, its text, its node tree and what is wrong with it.

    `root` is None when there is no node tree, or when the top of the file is no mapping.
    `fatal` says that nothing below can be judged (exit code 2).
    """

    file: str
    text: str
    root: Mapping | None
    troubles: tuple[Trouble, ...]
    fatal: bool


def escape(key: str) -> str:
    """Escape one key for a JSON Pointer (RFC 6901 section 3)."""
    return key.replace("~", "~0").replace("/", "~1")


def split_pointer(pointer: str) -> list[str]:
    """Split a JSON Pointer into its unescaped parts (RFC 6901 section 4)."""
    if not pointer:
        return []
    return [part.replace("~1", "/").replace("~0", "~") for part in pointer[1:].split("/")]


class Step(NamedTuple):
    """One step of a walk down a pointer: the key if the parent is a mapping, and the node reached."""

    key: Scalar | None
    node: Node
    pointer: str


def walk(root: Node, pointer: str) -> Iterator[Step]:
    """Yield the nodes on the way down `pointer`, the root first, as far as they are written."""
    node: Node = root
    here = ""
    yield Step(None, node, here)
    for part in split_pointer(pointer):
        key: Scalar | None = None
        if isinstance(node, Mapping) and part in node.entries:
            key, node = node.entries[part]
        elif isinstance(node, Sequence) and part.isdigit() and int(part) < len(node.items):
            node = node.items[int(part)]
        else:
            return
        here = f"{here}/{escape(part)}"
        yield Step(key, node, here)


def locate(root: Node, pointer: str, *, key: bool = False) -> tuple[Span, str]:
    """Return the range to show for `pointer` and the pointer of what was found there.

    The range is short on purpose: a scalar's own, or the key's for a mapping or a sequence. What is not
    written is shown at its deepest written ancestor.
    """
    last = Step(None, root, "")
    for last in walk(root, pointer):  # noqa: B007  the last step is what is wanted
        pass
    if last.key is not None and (key or not isinstance(last.node, Scalar)):
        return last.key.span, last.pointer
    if isinstance(last.node, Scalar):
        return last.node.span, last.pointer
    if isinstance(last.node, Mapping) and last.node.entries:
        return next(iter(last.node.entries.values())).key.span, last.pointer
    return last.node.span, last.pointer
