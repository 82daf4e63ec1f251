"""A schema put into words, and what a wrong value or key probably meant."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from planlint.schema.store import Schema

#: Key endings and the unit each stands for; the longest ending that fits wins.
UNITS = {
    "hz": "Hz", "khz": "kHz", "mhz": "MHz", "mw": "mW", "dbm": "dBm", "db": "dB", "dbi": "dBi", "dbv": "dBV", "dbu": "dBu",
    "db_spl": "dB SPL", "db_spl_per_mw": "dB SPL per mW", "m": "m", "h": "h", "min": "min", "days": "d", "pct": "%",
    "ohm": "ohm", "deg": "degrees", "min_per_unit": "min per unit",
}  # fmt: skip

_NEIGHBOURS: dict[str, tuple[tuple[str, Decimal], ...]] = {
    "MHz": (("kHz", Decimal("0.001")), ("Hz", Decimal("0.000001")), ("GHz", Decimal(1000))),
    "kHz": (("Hz", Decimal("0.001")), ("MHz", Decimal(1000))),
    "Hz": (("kHz", Decimal(1000)), ("MHz", Decimal(1000000))),
    "mW": (("W", Decimal(1000)), ("µW", Decimal("0.001"))),
    "m": (("mm", Decimal("0.001")), ("cm", Decimal("0.01")), ("km", Decimal(1000))),
    "h": (("min", Decimal(1) / 60),),
    "min": (("h", Decimal(60)),),
}


def unit_of(key: str) -> str | None:
    """Return the unit that a key's ending names, or None."""
    parts = key.split("_")
    for start in range(1, len(parts)):
        unit = UNITS.get("_".join(parts[start:]))
        if unit:
            return unit
    return None


def lacks_unit(key: str, known: Iterable[str]) -> str | None:
    """Return the known key that `key` would be with its unit added, or None."""
    for candidate in known:
        if candidate.startswith(f"{key}_") and candidate[len(key) + 1 :] in UNITS:
            return candidate
    return None


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word nearest to `word`, or None if none is near."""
    options = list(known)
    folded = {option.casefold(): option for option in reversed(options)}
    close = difflib.get_close_matches(word.casefold(), list(folded), n=1, cutoff=0.6)
    return folded[close[0]] if close else None


def likely_meaning(value: Decimal | int, unit: str | None, low: Any, high: Any) -> str | None:
    """Say which neighbouring unit a number was probably meant in: `looks like kHz: 505.3?`."""
    for other, factor in _NEIGHBOURS.get(unit or "", ()):
        meant = value * factor
        if (low is None or meant >= low) and (high is None or meant <= high):
            places = 3 if unit == "MHz" else 1
            shown = f"{meant:.{places}f}" if unit == "MHz" else f"{float(meant):g}"
            return f"looks like {other}: {shown}?"
    return None


def wanted(schema: Schema, defs: Schema, key: str = "") -> str:
    """Say in a few words what a schema asks for."""
    while "$ref" in schema:
        schema = defs[schema["$ref"].removeprefix("#/$defs/")]
    if "anyOf" in schema:
        examples = {"examples": schema["examples"]} if "examples" in schema else {}
        return " or ".join(wanted({**examples, **branch}, defs, key) for branch in schema["anyOf"])
    if "const" in schema:
        return str(schema["const"])
    if "enum" in schema:
        return "one of " + ", ".join(str(item) for item in schema["enum"])
    kind = schema.get("type")
    if kind in {"number", "integer"}:
        return _number(schema, key)
    if kind == "string":
        return _text(schema, defs)
    return {"boolean": "true or false", "array": "a list", "object": "a map of keys"}.get(str(kind), "something else")


def _number(schema: Schema, key: str) -> str:
    unit = unit_of(key) or schema.get("x-unit")
    number = "a whole number" if schema["type"] == "integer" else "a number"
    if unit:
        return f"{number} in {unit}"
    return (
        f"{number} from {schema['minimum']} to {schema['maximum']}"
        if {"minimum", "maximum"} <= schema.keys()
        else number
    )


def _text(schema: Schema, defs: Schema) -> str:
    pattern = schema.get("pattern")
    if pattern is not None and pattern == defs.get("id", {}).get("pattern"):
        return "an id (letters, digits, dot, dash, underscore; at most 64)"
    example = next((item for item in schema.get("examples", ()) if pattern and re.search(pattern, str(item))), None)
    return f"text like {example}" if example is not None else "text"


def allowed_words(schema: Schema, defs: Schema) -> list[str]:
    """Return the words a schema allows by `enum` or `const`, through `anyOf`."""
    while "$ref" in schema:
        schema = defs[schema["$ref"].removeprefix("#/$defs/")]
    words = [str(item) for item in schema.get("enum", ())]
    if "const" in schema:
        words.append(str(schema["const"]))
    for branch in schema.get("anyOf", ()):
        words += allowed_words(branch, defs)
    return words
