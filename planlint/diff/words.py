"""Fields and values in the words of the trade, for messages and work lists."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from planlint.diff.change import Change
from planlint.diff.state import CARRIER, GROUP, LIST
from planlint.diff.tree import is_set
from planlint.document.nodes import split_pointer
from planlint.plan.quantity import mhz

_UNITS = {
    "_mhz": "MHz",
    "_khz": "kHz",
    "_hz": "Hz",
    "_mw": "mW",
    "_dbm": "dBm",
    "_dbi": "dBi",
    "_dbv": "dBV",
    "_db": "dB",
    "_m": "m",
    "_h": "h",
    "_min": "min",
    "_pct": "%",
    "_ohm": "ohm",
    "_deg": "degrees",
}
_FIELDS = {"may_tune": "tuning", "ear_feed": "ear feed", "sends": "send", "decodes": "decode", "gauge": "cell gauge"}


def _split_unit(key: str) -> tuple[str, str]:
    for ending, unit in _UNITS.items():
        if key.endswith(ending):
            return key.removesuffix(ending), unit
    return key, ""


def field_words(field: str) -> str:
    """Return a unit's field in words: `limiter`, `list entry ear-1`, `user group G2`."""
    if field.startswith(LIST):
        return f"list entry {field.removeprefix(LIST)}".strip()
    if field.startswith(GROUP):
        return f"user group {field.removeprefix(GROUP)}"
    return _FIELDS.get(field, _split_unit(field)[0].replace("_", " "))


def value_words(field: str, value: Any) -> str:
    """Return the value of a unit's field in words; carriers of units count in Hz."""
    if value is None:
        return "out" if field.startswith(LIST) else "unknown"
    if isinstance(value, list):
        return " and ".join(value_words(field, item) for item in value)
    if field.startswith(GROUP) and isinstance(value, dict):
        return ", ".join(f"{channel}: {mhz(carrier)}" for channel, carrier in value.items())
    if (field == CARRIER or field.startswith(LIST)) and isinstance(value, int):
        return mhz(value)
    unit = _split_unit(field)[1] if isinstance(value, int | Decimal) else ""
    return f"{plain(value)} {unit}".strip()


def step_words(field: str, was: Any, now: Any) -> str:
    """Return how a unit's field goes from one value to another: `power 8 → 38 mW`; an unknown old one must be read."""
    if was is None:
        return f"{field_words(field)} (read it first) → {value_words(field, now)}"
    before, after = value_words(field, was), value_words(field, now)
    unit = _split_unit(field)[1]
    if unit and before.endswith(f" {unit}") and after.endswith(f" {unit}"):
        before = before.removesuffix(f" {unit}")
    return f"{field_words(field)} {before} → {after}"


def plain(value: Any) -> str:
    """Return any value of a plan as short text."""
    if value is None:
        return "unwritten"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {plain(child)}" for key, child in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(plain, value)) + "]"
    return str(value)


def change_words(change: Change, *, short: bool = False) -> str:
    """Return one change in words: `antennas mic-a coax length: 8 → 12 m`; `short` leaves the section's name out."""
    parts = split_pointer(change.pointer)
    if change.kind == "renamed":
        return f"{parts[0].replace('_', ' ')}: {change.old} is called {change.new} now"
    if change.kind == "swapped":
        other = split_pointer(change.other_pointer or "")[1]
        return f"{parts[1]} and {other} swap carriers: {change.old} ↔ {change.new}"
    split = [_split_unit(part) for part in parts]
    unit = next((found for _, found in reversed(split) if found), "")
    where = " ".join(word.replace("_", " ") for word, _ in (split[1:] if short and len(split) > 1 else split))
    if change.kind == "added":
        return f"+ {where}: {_measured(change.new, unit)}"
    if change.kind == "removed":
        return f"- {where} (was {_measured(change.old, unit)})"
    if is_set(parts) and isinstance(change.old, list) and isinstance(change.new, list):
        return f"{where}: {_list_words(change.old, change.new)}"
    return f"{where}: {plain(change.old)} → {_measured(change.new, unit)}"


def _list_words(old: list[Any], new: list[Any]) -> str:
    come = [plain(item) for item in new if item not in old]
    gone = [plain(item) for item in old if item not in new]
    return " ".join([*(f"+{item}" for item in come), *(f"-{item}" for item in gone)])


def _measured(value: Any, unit: str) -> str:
    number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    return f"{plain(value)} {unit}" if number and unit else plain(value)
