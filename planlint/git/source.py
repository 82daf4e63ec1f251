"""Values as somebody wrote them: pieces of YAML text to put into another place, in block or in flow style."""

from __future__ import annotations

import json
import re

from planlint.document import Document, Mapping, Node, Scalar, Sequence, Span

_NOT_IN_FLOW = re.compile(r"[,\[\]{}\n]|: |:$| #")


def offset(text: str, line: int, column: int) -> int:
    """Return the index of a place in a text; lines and columns count from 1."""
    start = 0
    for _ in range(line - 1):
        start = text.index("\n", start) + 1
    return start + column - 1


def bounds(text: str, span: Span) -> tuple[int, int]:
    """Return a range as indexes into its text."""
    return offset(text, span.line, span.column), offset(text, span.end_line, span.end_column)


def extent(document: Document, node: Node) -> tuple[int, int]:
    """Return where a node begins and ends in its text, as indexes; of a node in brackets with both of them."""
    text = document.text
    start, end = bounds(text, node.span)
    if isinstance(node, Scalar):
        return start, end
    inner = node.items if isinstance(node, Sequence) else [value for _, value in node.entries.values()]
    end = extent(document, inner[-1])[1] if inner else start + 1
    if text[start] not in "{[":
        return start, end
    while text[end] not in "]}":
        end = text.index("\n", end) if text[end] == "#" else end + 1
    return start, end + 1


def last_line(document: Document, node: Node) -> int:
    """Return the line that a node ends on, counted from 1."""
    return document.text.count("\n", 0, extent(document, node)[1]) + 1


def written(document: Document, node: Node) -> str:
    """Return the text of a node as it stands."""
    start, end = extent(document, node)
    return document.text[start:end]


def is_flow(document: Document, node: Node) -> bool:
    """Say whether a map or list is written in brackets."""
    return not isinstance(node, Scalar) and document.text[bounds(document.text, node.span)[0]] in "{["


def flow(document: Document, node: Node) -> str:
    """Return a node on one line, in flow style."""
    if isinstance(node, Scalar):
        text = written(document, node)
        plain = node.style == "plain" and not _NOT_IN_FLOW.search(text)
        return (
            text
            if plain or (node.style == "quoted" and "\n" not in text)
            else json.dumps(node.text, ensure_ascii=False)
        )
    if isinstance(node, Mapping):
        pairs = (f"{flow(document, key)}: {flow(document, value)}" for key, value in node.entries.values())
        return "{" + ", ".join(pairs) + "}"
    return "[" + ", ".join(flow(document, item) for item in node.items) + "]"


def entry_lines(document: Document, key: Scalar, value: Node, column: int) -> list[str] | None:
    """Return the lines of an entry of a block map, indented for a map whose keys stand in `column`.

    Comments on the lines directly above come along. None where the entry does not begin its line.
    """
    lines = document.text.split("\n")
    head = lines[key.span.line - 1][: key.span.column - 1]
    if head.strip():
        return None
    first = key.span.line
    while first > 1 and lines[first - 2].startswith(f"{head}#"):
        first -= 1
    shift = column - key.span.column
    moved = []
    for line in lines[first - 1 : last_line(document, value)]:
        bare = line.rstrip("\r")
        if shift >= 0 or not bare[:-shift].strip():
            moved.append(" " * shift + bare if shift > 0 and bare.strip() else bare[-shift:] if shift < 0 else bare)
        else:
            return None
    return moved


__all__ = ["bounds", "entry_lines", "extent", "flow", "is_flow", "last_line", "offset", "written"]
