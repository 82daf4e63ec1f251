"""One walk over a node tree with a JSON Schema in hand: text becomes values, and a clean file is known clean.

The schema decides what a scalar is (text, number, true or false); no loader guesses. The walk also checks
the schema's keywords. Its yes means that jsonschema would say yes too (a property test holds the two
equal); its no, or a keyword it does not know, calls jsonschema, which alone decides and explains.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any, NamedTuple

from planlint.document import Entry, Mapping, Node, Scalar, Sequence
from planlint.document.nodes import escape
from planlint.schema import scalars
from planlint.schema.scalars import Trap
from planlint.schema.store import Schema

_ANNOTATIONS = frozenset({"$schema", "$id", "$defs", "title", "description", "default", "examples", "x-unit"})
_SCALAR_KEYWORDS = frozenset({"type", "const", "enum", "pattern", "minimum", "maximum"}) | _ANNOTATIONS
_OBJECT_KEYWORDS = (
    frozenset({"type", "required", "properties", "additionalProperties", "propertyNames", "patternProperties"})
    | _ANNOTATIONS
)
_ARRAY_KEYWORDS = frozenset({"type", "items"}) | _ANNOTATIONS
_ANY: Schema = {}


class Walk(NamedTuple):
    """What the walk found.

    Attributes:
        value: the file as plain values: dict, list, str, int, Decimal, bool; refused nodes are left out.
        clean: the schema holds, as far as the walk knows its keywords.
        traps: plain scalars that YAML 1.1 readers turn into something else.
        refused: pointers of nodes that count as unwritten.
    """

    value: Any
    clean: bool
    traps: tuple[Trap, ...]
    refused: frozenset[str]


def walk(root: Mapping, schema: Schema) -> Walk:
    """Read a node tree by a schema; never raises for what the file holds."""
    reader = _Reader(schema)
    value = reader.read(root, schema, "")
    return Walk(value, reader.clean, tuple(reader.traps), frozenset(reader.refused))


class _Reader:
    def __init__(self, schema: Schema) -> None:
        self._defs: Schema = schema.get("$defs", {})
        self.clean = True
        self.traps: list[Trap] = []
        self.refused: set[str] = set()

    def read(self, node: Node, schema: Schema, pointer: str) -> Any:
        reference = schema.get("$ref")
        while reference is not None:
            schema = self._defs[reference.removeprefix("#/$defs/")]
            reference = schema.get("$ref")
        if isinstance(node, Scalar):
            return self._scalar(node, schema, pointer)
        if "anyOf" in schema:
            schema = self._branch(schema, "object" if isinstance(node, Mapping) else "array")
        if isinstance(node, Mapping):
            return self._mapping(node, schema, pointer)
        return self._sequence(node, schema, pointer)

    def _deref(self, schema: Schema) -> Schema:
        while "$ref" in schema:
            schema = self._defs[schema["$ref"].removeprefix("#/$defs/")]
        return schema

    def _branch(self, schema: Schema, kind: str) -> Schema:
        if not schema.keys() <= _ANNOTATIONS | {"anyOf"}:
            self.clean = False
        for branch in map(self._deref, schema["anyOf"]):
            if branch.get("type") == kind:
                return branch
        self.clean = False
        return _ANY

    def _mapping(self, node: Mapping, schema: Schema, pointer: str) -> dict[str, Any]:
        if schema.get("type", "object") != "object" or not schema.keys() <= _OBJECT_KEYWORDS:
            self.clean = False
        properties = schema.get("properties", {})
        value: dict[str, Any] = {}
        names = schema.get("propertyNames")
        names = self._deref(names) if names is not None else None
        for key, entry in node.entries.items():
            here = f"{pointer}/{escape(key)}"
            self._trap(scalars.trap_as_key(entry.key), entry.key, here, key=True)
            if isinstance(entry.value, Scalar) and entry.value.refused:
                self.refused.add(here)
                continue
            if names is not None and not _accepts(key, names):
                self.clean = False
            value[key] = self._value(entry, properties.get(key), schema, here)
        for name in schema.get("required", ()):
            if name not in value:
                self.clean = False
        return value

    def _value(self, entry: Entry, known: Schema | None, schema: Schema, pointer: str) -> Any:
        if known is not None:
            return self.read(entry.value, known, pointer)
        for pattern, sub in schema.get("patternProperties", {}).items():
            if re.search(pattern, entry.key.text):
                return self.read(entry.value, sub, pointer)
        others = schema.get("additionalProperties", _ANY)
        if others is False:
            self.clean = False
            return self.read(entry.value, _ANY, pointer)
        return self.read(entry.value, _ANY if others is True else others, pointer)

    def _sequence(self, node: Sequence, schema: Schema, pointer: str) -> list[Any]:
        if schema.get("type", "array") != "array" or not schema.keys() <= _ARRAY_KEYWORDS:
            self.clean = False
        items = schema.get("items", _ANY)
        value: list[Any] = []
        for index, item in enumerate(node.items):
            here = f"{pointer}/{index}"
            if isinstance(item, Scalar) and item.refused:
                self.refused.add(here)
                value.append(None)
                self.clean = False
                continue
            value.append(self.read(item, items, here))
        return value

    def _scalar(self, node: Scalar, schema: Schema, pointer: str) -> Any:
        branches = [self._deref(branch) for branch in schema.get("anyOf", ())]
        if branches and not schema.keys() <= _ANNOTATIONS | {"anyOf"}:
            self.clean = False
        kinds = {_wanted(branch) for branch in branches} if branches else {_wanted(schema)}
        value = self._read_as(node, kinds, pointer)
        if branches:
            if not any(_accepts(value, branch) for branch in branches):
                self.clean = False
        elif not _accepts(value, schema):
            self.clean = False
        return value

    def _read_as(self, node: Scalar, kinds: set[str], pointer: str) -> scalars.Plain:
        if "number" in kinds and (kinds == {"number"} or scalars.number(node.text) is not None):
            self._trap(scalars.trap_as_number(node), node, pointer)
            return scalars.as_number(node)
        if "boolean" in kinds:
            value = scalars.as_truth(node)
            if not isinstance(value, bool):
                self._trap(scalars.trap_as_text(node), node, pointer)
            return value
        if kinds & {"string", "number"}:
            self._trap(scalars.trap_as_text(node), node, pointer)
            return scalars.as_text(node)
        return scalars.core(node)

    def _trap(self, reads_as: str | None, node: Scalar, pointer: str, *, key: bool = False) -> None:
        if reads_as is not None:
            self.traps.append(Trap(pointer, node.span, node.text, reads_as, key))


def _wanted(schema: Schema) -> str:
    kind = schema.get("type")
    if kind is None:
        sample = schema["const"] if "const" in schema else (schema.get("enum") or [None])[0]
        if isinstance(sample, bool):
            return "boolean"
        kind = "string" if isinstance(sample, str) else "number" if isinstance(sample, int | float) else "any"
    return "number" if kind == "integer" else str(kind)


def _is_number(value: object) -> bool:
    return isinstance(value, int | Decimal) and not isinstance(value, bool)


_TYPES: dict[str, Any] = {
    "string": lambda value: isinstance(value, str),
    "number": _is_number,
    "integer": lambda value: isinstance(value, int) and not isinstance(value, bool),
    "boolean": lambda value: isinstance(value, bool),
    "object": lambda _: False,
    "array": lambda _: False,
}


def _accepts(value: object, schema: Schema) -> bool:
    """Say whether a scalar fulfils a schema; False too where a keyword is unknown here."""
    if not schema.keys() <= _SCALAR_KEYWORDS:
        return False
    kind = schema.get("type")
    if kind is not None and not (isinstance(kind, str) and _TYPES[kind](value)):
        return False
    if "const" in schema and not _same(value, schema["const"]):
        return False
    if "enum" in schema and not any(_same(value, allowed) for allowed in schema["enum"]):
        return False
    if isinstance(value, str):
        return "pattern" not in schema or re.search(schema["pattern"], value) is not None
    if _is_number(value):
        number: Any = value
        return bool(schema.get("minimum", number) <= number <= schema.get("maximum", number))
    return True


def _same(value: object, allowed: object) -> bool:
    return value == allowed and isinstance(value, bool) == isinstance(allowed, bool)
