"""Text to node tree: the YAML subset, read from the events of PyYAML's C parser.

Events carry exact positions and never expand an alias, so an alias bomb costs nothing. The walk keeps its
own stack: depth is bounded by `MAX_DEPTH`, not by Python's.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import yaml

from planlint.document.nodes import Document, Entry, Mapping, Node, Scalar, Sequence, Span, Style, Trouble, escape

Event = Any  # PyYAML's event classes declare none of their fields

MAX_DEPTH = 32
MAX_BYTES = 4 * 1024 * 1024
_EXPLAIN_BYTES = 256 * 1024
_NOT_A_NUMBER = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_FOREIGN_BREAK = re.compile("[\x85\u2028\u2029]")

try:
    from yaml.cyaml import CParser as _Parser  # type: ignore[attr-defined]
except ImportError:  # a PyYAML built without libyaml: slower, same events
    from yaml import SafeLoader as _Parser  # type: ignore[assignment]


def parse(text: str, file: str) -> Document:
    """Parse one file.

    Args:
        text: the file's text, without a byte order mark.
        file: the path to name in troubles, relative to the root.

    Returns:
        A document; a text that is no YAML gives one with `fatal` set and a `yaml-broken` trouble.
    """
    foreign = _FOREIGN_BREAK.search(text)
    if foreign:
        span = _span_at(text, foreign.start())
        return _fatal(
            text, file, "yaml-refused", span, what="a line break that editors do not count (U+0085, U+2028 or U+2029)"
        )
    builder = _Builder()
    try:
        builder.run(_events(text))
    except yaml.YAMLError as error:
        return _broken(text, file, error)
    troubles = builder.troubles
    if "\t" in text:
        troubles = troubles + _tabs(text, builder.multiline)
    root = builder.root
    return Document(file, text, root if isinstance(root, Mapping) else None, tuple(troubles), fatal=False)


def _events(text: str) -> Iterator[Event]:
    parser = _Parser(text)
    try:
        while parser.check_event():
            yield parser.get_event()
    finally:
        dispose = getattr(parser, "dispose", None)
        if dispose:
            dispose()


def _fatal(text: str, file: str, rule: str, span: Span, **values: str) -> Document:
    return Document(file, text, None, (Trouble(rule, span, "", values),), fatal=True)


def _span_at(text: str, index: int) -> Span:
    line = text.count("\n", 0, index) + 1
    column = index - (text.rfind("\n", 0, index) + 1) + 1
    return Span(line, column, line, column + 1)


def _broken(text: str, file: str, error: yaml.YAMLError) -> Document:
    if len(text) <= _EXPLAIN_BYTES:
        try:  # the pure parser says more about the same fault
            for _ in yaml.parse(text, Loader=yaml.SafeLoader):
                pass
        except (yaml.YAMLError, RecursionError) as clearer:
            if isinstance(clearer, yaml.YAMLError):
                error = clearer
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if mark is None:
        position = getattr(error, "position", None)
        span = _span_at(text, position) if isinstance(position, int) and position < len(text) else Span(1, 1, 1, 2)
    else:
        span = Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2)
    lines = text.splitlines()
    line = lines[span.line - 1] if span.line <= len(lines) else ""
    if "\t" in line[: len(line) - len(line.lstrip())]:
        at = line.index("\t") + 1
        return _fatal(text, file, "yaml-refused", Span(span.line, at, span.line, at + 1), what="a tab as indentation")
    problem = str(getattr(error, "problem", None) or getattr(error, "reason", None) or error).splitlines()[0]
    context = getattr(error, "context", None)
    return _fatal(text, file, "yaml-broken", span, what=f"{problem} ({context})" if context else problem)


def _tabs(text: str, multiline: list[Span]) -> list[Trouble]:
    found = []
    for number, line in enumerate(text.splitlines(), 1):
        indent = line[: len(line) - len(line.lstrip())]
        rest = line.lstrip()
        if "\t" not in indent or not rest or rest.startswith("#"):
            continue
        if any(span.line < number <= span.end_line for span in multiline):
            continue
        at = indent.index("\t") + 1
        found.append(Trouble("yaml-refused", Span(number, at, number, at + 1), "", {"what": "a tab as indentation"}))
    return found


class _Frame:
    """An open collection: its node, its pointer, and the key that waits for its value."""

    __slots__ = ("key", "node", "pointer", "skip")

    def __init__(self, node: Mapping | Sequence, pointer: str) -> None:
        self.node = node
        self.pointer = pointer
        self.key: Scalar | None = None
        self.skip = False


class _Builder:
    """Builds the tree from events and notes what the subset refuses."""

    def __init__(self) -> None:
        self.root: Node | None = None
        self.troubles: list[Trouble] = []
        self.multiline: list[Span] = []
        self._stack: list[_Frame] = []
        self._too_deep = 0
        self._complex = 0

    def run(self, events: Iterator[Event]) -> None:
        documents = 0
        for event in events:
            kind = type(event).__name__
            if kind == "DocumentStartEvent":
                documents += 1
                if documents > 1:
                    self._refuse(event, "several documents in one file")
                    return
            elif kind == "ScalarEvent":
                self._scalar(event)
            elif kind == "AliasEvent":
                self._alias(event)
            elif kind in {"MappingStartEvent", "SequenceStartEvent"}:
                self._open(event, mapping=kind == "MappingStartEvent")
            elif kind in {"MappingEndEvent", "SequenceEndEvent"}:
                self._close()

    def _pointer(self) -> str:
        if not self._stack:
            return ""
        frame = self._stack[-1]
        if isinstance(frame.node, Sequence):
            return f"{frame.pointer}/{len(frame.node.items)}"
        if frame.key is not None:
            return f"{frame.pointer}/{escape(frame.key.text)}"
        return frame.pointer

    def _refuse(self, event: Event, what: str, rule: str = "yaml-refused") -> None:
        self.troubles.append(Trouble(rule, _first_line(_span(event)), self._pointer(), {"what": what}))

    def _check_properties(self, event: Event) -> None:
        if event.anchor is not None:
            self._refuse(event, f"the anchor &{event.anchor}", "aliases-used")
        if event.tag is not None and event.tag != "!":
            self._refuse(event, f"the tag {event.tag}")

    def _open(self, event: Event, *, mapping: bool) -> None:
        if self._too_deep or self._complex:
            self._too_deep += bool(self._too_deep)
            self._complex += bool(self._complex)
            return
        if self._expects_key():
            self._refuse(event, "a key that is itself a map or a list")
            self._complex = 1
            return
        if len(self._stack) >= MAX_DEPTH:
            self._refuse(event, f"nesting deeper than {MAX_DEPTH}")
            self._too_deep = 1
            self._add(Scalar("", "plain", _first_line(_span(event)), refused=True))
            return
        self._check_properties(event)
        pointer = self._pointer()
        node: Mapping | Sequence = Mapping(_span(event)) if mapping else Sequence(_span(event))
        self._add(node)
        self._stack.append(_Frame(node, pointer))

    def _close(self) -> None:
        if self._too_deep:
            self._too_deep -= 1
            return
        if self._complex:
            self._complex -= 1
            if not self._complex:  # the value of a complex key goes with it
                self._stack[-1].key = Scalar("", "plain", Span(0, 0, 0, 0), refused=True)
                self._stack[-1].skip = True
            return
        node = self._stack.pop().node
        last: Node | None = None
        if isinstance(node, Mapping) and node.entries:
            last = next(reversed(node.entries.values())).value
        elif isinstance(node, Sequence) and node.items:
            last = node.items[-1]
        if last is not None:  # a block collection's own end mark runs on to the next token
            node.span = Span(node.span.line, node.span.column, last.span.end_line, last.span.end_column)

    def _expects_key(self) -> bool:
        return bool(self._stack) and isinstance(self._stack[-1].node, Mapping) and self._stack[-1].key is None

    def _alias(self, event: Event) -> None:
        if self._too_deep or self._complex:
            return
        self._refuse(event, f"the alias *{event.anchor}", "aliases-used")
        self._add(Scalar("", "plain", _span(event), refused=True))

    def _scalar(self, event: Event) -> None:
        if self._too_deep or self._complex:
            return
        self._check_properties(event)
        span = _span(event)
        style: Style = "plain"
        if event.style in {"'", '"'}:
            style = "quoted"
        elif event.style in {"|", ">"}:
            style = "block"
        if span.end_line > span.line:
            self.multiline.append(span)
        scalar = Scalar(event.value, style, span)
        if style == "plain" and _NOT_A_NUMBER.fullmatch(scalar.text) and not self._expects_key():
            self._refuse(event, f"{scalar.text}, which is no quantity")
            scalar.refused = True
        self._add(scalar)

    def _add(self, node: Node) -> None:
        if not self._stack:
            self.root = node
            return
        frame = self._stack[-1]
        if isinstance(frame.node, Sequence):
            frame.node.items.append(node)
        elif frame.key is None:
            self._key(frame, node)
        else:
            if not frame.skip:
                frame.node.entries[frame.key.text] = Entry(frame.key, node)
            frame.key, frame.skip = None, False

    def _key(self, frame: _Frame, node: Node) -> None:
        assert isinstance(frame.node, Mapping)
        if not isinstance(node, Scalar) or node.refused:
            frame.key = Scalar("", "plain", node.span, refused=True)
            frame.skip = True
            return
        frame.key = node
        if node.text == "<<" and node.style == "plain":
            self.troubles.append(Trouble("aliases-used", node.span, frame.pointer, {"what": "the merge key <<"}))
            frame.skip = True
        elif node.text in frame.node.entries:
            first = frame.node.entries[node.text].key
            self.troubles.append(
                Trouble(
                    "key-twice",
                    node.span,
                    f"{frame.pointer}/{escape(node.text)}",
                    {"key": node.text, "first_line": str(first.span.line)},
                    ((first.span, "first written here"),),
                )
            )
            frame.skip = True


def _span(event: Event) -> Span:
    start, end = event.start_mark, event.end_mark
    return Span(start.line + 1, start.column + 1, end.line + 1, end.column + 1)


def _first_line(span: Span) -> Span:
    if span.end_line == span.line:
        return span
    return Span(span.line, span.column, span.line, span.column + 1)
