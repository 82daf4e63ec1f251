"""A document against the schema of its kind: its values, and what is wrong with them."""

from __future__ import annotations

from typing import Any, NamedTuple

from planlint.document import Document, Mapping, Trouble, text_at
from planlint.document.nodes import locate, split_pointer
from planlint.schema.kinds import KINDS
from planlint.schema.read import walk
from planlint.schema.scalars import Trap, number
from planlint.schema.store import schema

FORMAT = 1


class Judged(NamedTuple):
    """One file, judged.

    Attributes:
        document: the file.
        kind: its kind, or "" where it has none that is known.
        values: what is validly written; what is not counts as unwritten.
        troubles: everything wrong with the file, its text included.
        traps: plain scalars that other readers turn into something else.
        fatal: nothing in it can be judged (exit code 2).
    """

    document: Document
    kind: str
    values: dict[str, Any]
    troubles: tuple[Trouble, ...]
    traps: tuple[Trap, ...]
    fatal: bool


def is_plan_file(document: Document) -> bool:
    """Say whether a document claims to be a plan file."""
    return document.root is not None and "plan_format" in document.root.entries


def judge(document: Document) -> Judged:
    """Judge one document by the schema of its kind; never raises for what the file holds."""
    root = document.root
    if document.fatal or root is None:
        return Judged(document, "", {}, document.troubles, (), document.fatal)
    newer = _newer_format(root, document)
    if newer:
        return Judged(document, "", {}, (*document.troubles, newer), (), fatal=True)
    kind = text_at(document, "kind") or ""
    if kind not in KINDS:
        return Judged(document, "", {}, (*document.troubles, _unknown_kind(root, kind)), (), fatal=False)
    found = walk(root, schema(kind))
    if found.clean:
        return Judged(document, kind, found.value, document.troubles, found.traps, fatal=False)
    from planlint.schema.explain import explain

    troubles = explain(root, found.value, kind, found.refused)
    for trouble in troubles:
        _remove(found.value, _whole(trouble.pointer))
    values = _without_refused(found.value)
    return Judged(document, kind, values, (*document.troubles, *troubles), found.traps, fatal=False)


def _newer_format(root: Mapping, document: Document) -> Trouble | None:
    value = number(text_at(document, "plan_format") or "")
    if value is None or value <= FORMAT:
        return None
    span, pointer = locate(root, "/plan_format")
    return Trouble("format-version", span, pointer, {"found": str(value), "reads": str(FORMAT)})


def _unknown_kind(root: Mapping, kind: str) -> Trouble:
    from planlint.schema.describe import nearest

    if "kind" not in root.entries:
        span, _ = locate(root, "")
        return Trouble("key-missing", span, "/kind", {"key": "kind", "wants": "one of " + ", ".join(KINDS), "of": ""})
    span, pointer = locate(root, "/kind")
    values = {"found": kind or "nothing", "known": ", ".join(KINDS)}
    near = nearest(kind, KINDS)
    return Trouble("wrong-kind", span, pointer, values | ({"near": near} if near else {}))


def _whole(pointer: str) -> str:
    """Return what an invalid value takes with it: half a range says nothing, so the range goes."""
    parent, _, last = pointer.rpartition("/")
    return parent if last in {"low", "high"} else pointer


def _remove(value: Any, pointer: str) -> None:
    """Take one invalid value out, so that it counts as unwritten; an item of a list leaves a gap."""
    parts = split_pointer(pointer)
    for part in parts[:-1]:
        if isinstance(value, dict) and part in value:
            value = value[part]
        elif isinstance(value, list) and part.isdigit() and int(part) < len(value):
            value = value[int(part)]
        else:
            return
    if isinstance(value, dict):
        value.pop(parts[-1], None)
    elif isinstance(value, list) and parts[-1].isdigit() and int(parts[-1]) < len(value):
        value[int(parts[-1])] = None


def _without_refused(value: Any) -> Any:
    """Drop the gaps that refused or invalid items left in plain lists; lists of maps keep their positions."""
    if isinstance(value, dict):
        return {key: _without_refused(child) for key, child in value.items()}
    if isinstance(value, list):
        if any(isinstance(item, dict) for item in value):
            return [{} if item is None else _without_refused(item) for item in value]
        return [_without_refused(item) for item in value if item is not None]
    return value


__all__ = ["FORMAT", "Judged", "is_plan_file", "judge"]
