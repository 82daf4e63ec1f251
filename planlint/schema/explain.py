"""jsonschema's verdict on a file, sorted into troubles that a person can act on.

Called only when the walk did not say yes. jsonschema is the authority: what it accepts is accepted.
One trouble per key; no `anyOf` branch is ever shown to the user.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any

from planlint.document import Mapping, Trouble, locate
from planlint.document.nodes import escape
from planlint.schema import describe
from planlint.schema.kinds import KEYS_NOT_OF_A_TOURS_LINK, KEYS_OF_KIND
from planlint.schema.store import Schema, schema

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError

_SHOWN = 60


def explain(root: Mapping, value: Any, kind: str, refused: frozenset[str]) -> list[Trouble]:
    """Return every schema error of one file, in order of place.

    Args:
        root: the node tree, for positions.
        value: the walk's value.
        kind: the kind of plan file.
        refused: pointers that count as unwritten and are reported elsewhere.
    """
    return explain_any(root, value, kind, refused)


def explain_any(root: Mapping, value: Any, name: str, refused: frozenset[str]) -> list[Trouble]:
    """Return every error of a file by the schema `name`, which need not be a kind of plan file."""
    import jsonschema

    kind, rules = name, schema(name)
    troubles: dict[str, Trouble] = {}
    for error in jsonschema.Draft202012Validator(rules).iter_errors(value):
        for trouble in _sort(error, root, kind, rules.get("$defs", {})):
            if trouble.pointer not in refused:
                troubles.setdefault(trouble.pointer, trouble)
    return sorted(troubles.values(), key=lambda trouble: (trouble.span, trouble.rule))


def _sort(error: ValidationError, root: Mapping, kind: str, defs: Schema) -> Iterator[Trouble]:
    pointer = "".join(f"/{escape(str(part))}" for part in error.absolute_path)
    rule: Any = error.schema
    if error.validator == "additionalProperties":
        yield from _extra_keys(error, pointer, root, kind)
    elif error.validator == "required":
        yield from _missing_keys(error, pointer, root, defs)
    elif "propertyNames" in error.absolute_schema_path:
        name = str(error.instance)
        values = {"key": name, "found": name, "wants": describe.wanted(rule, defs)}
        yield _trouble("wrong-value", f"{pointer}/{escape(name)}", root, values, key=True)
    else:
        yield _wrong_value(error, pointer, root, rule, defs)


def _trouble(rule: str, pointer: str, root: Mapping, values: dict[str, str], *, key: bool = False) -> Trouble:
    span, _ = locate(root, pointer, key=key)
    return Trouble(rule, span, pointer, {name: text for name, text in values.items() if text})


def _extra_keys(error: ValidationError, pointer: str, root: Mapping, kind: str) -> Iterator[Trouble]:
    rule: Any = error.schema
    known = list(rule.get("properties", {}))
    instance: Any = error.instance
    for key in instance:
        if key in known:
            continue
        at = f"{pointer}/{escape(key)}"
        home = _other_home(key, kind, pointer)
        with_unit = describe.lacks_unit(key, known)
        if home == "tour" and kind == "venue":
            yield _trouble("venue-file-changes-tour", at, root, {"key": key}, key=True)
        elif home:
            yield _trouble("wrong-kind", at, root, {"key": key, "kind": kind, "home": home}, key=True)
        elif with_unit:
            values = {"key": key, "meant": with_unit, "unit": describe.unit_of(with_unit) or ""}
            yield _trouble("unit-missing", at, root, values, key=True)
        else:
            near = describe.nearest(key, [name for name in known if name not in instance] or known)
            values = {"key": key, "near": near or "", "known": ", ".join(known[:12]) if len(known) <= 12 else ""}
            yield _trouble("unknown-key", at, root, values, key=True)


def _other_home(key: str, kind: str, pointer: str) -> str | None:
    """Return the kind of file that a key belongs in, if it is known elsewhere and not in this kind."""
    if kind not in KEYS_OF_KIND or kind == "plan":
        return None
    if not pointer:
        for other, keys in KEYS_OF_KIND.items():
            if other not in {"plan", kind} and key in keys:
                return other
        return None
    if kind == "venue" and key in _all_keys("tour") and key not in _all_keys("venue"):
        return "tour"
    if kind == "tour" and pointer.startswith("/links/") and key in KEYS_NOT_OF_A_TOURS_LINK:
        return "venue"
    return None


@cache
def _all_keys(kind: str) -> frozenset[str]:
    found: set[str] = set()

    def collect(node: Any) -> None:
        if isinstance(node, dict):
            found.update(node.get("properties", {}))
            for child in node.values():
                collect(child)
        elif isinstance(node, list):
            for child in node:
                collect(child)

    collect(schema(kind))
    return frozenset(found)


def _missing_keys(error: ValidationError, pointer: str, root: Mapping, defs: Schema) -> Iterator[Trouble]:
    rule: Any = error.schema
    instance: Any = error.instance
    for name in error.validator_value:  # type: ignore[union-attr]
        if name in instance:
            continue
        sub = rule.get("properties", {}).get(name, {})
        wants = describe.wanted(sub, defs, name)
        trouble = _trouble("key-missing", pointer, root, {"key": name, "wants": wants, "of": pointer}, key=True)
        yield trouble._replace(pointer=f"{pointer}/{escape(name)}")


def _wrong_value(error: ValidationError, pointer: str, root: Mapping, rule: Any, defs: Schema) -> Trouble:
    key = next((str(part) for part in reversed(error.absolute_path) if not isinstance(part, int)), "")
    found: Any = error.instance
    values = {"key": key, "found": _shown(found), "wants": describe.wanted(rule, defs, key)}
    low, high = _bounds(rule, defs)
    is_number = isinstance(found, int | Decimal) and not isinstance(found, bool)
    if is_number and (low is not None or high is not None):
        unit = describe.unit_of(key) or _unit(rule, defs)
        values["range"] = f"{low if low is not None else '…'} to {high if high is not None else '…'}"
        if unit:
            values["unit"] = unit
            values["meant"] = describe.likely_meaning(found, unit, low, high) or ""
            return _trouble("unit-implausible", pointer, root, values)
    if isinstance(found, str):
        values["near"] = describe.nearest(found, describe.allowed_words(rule, defs)) or ""
        if "a number" in values["wants"]:
            values["text"] = "yes"
    return _trouble("wrong-value", pointer, root, values)


def _bounds(rule: Any, defs: Schema) -> tuple[Any, Any]:
    for branch in (rule, *(describe_ref(branch, defs) for branch in rule.get("anyOf", ()))):
        if branch.get("type") in {"number", "integer"}:
            return branch.get("minimum"), branch.get("maximum")
    return None, None


def _unit(rule: Any, defs: Schema) -> str | None:
    for branch in (rule, *(describe_ref(branch, defs) for branch in rule.get("anyOf", ()))):
        if "x-unit" in branch:
            return str(branch["x-unit"])
    return None


def describe_ref(rule: Schema, defs: Schema) -> Schema:
    """Follow `$ref`s to the schema they name."""
    while "$ref" in rule:
        rule = defs[rule["$ref"].removeprefix("#/$defs/")]
    return rule


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a map"
    if isinstance(value, list):
        return "a list"
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
