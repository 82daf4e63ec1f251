"""Fields and values in the words of the trade, for messages and work lists."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from planlint.diff.state import CARRIER, GROUP, LIST
from planlint.document.nodes import split_pointer
from planlint.plan.quantity import mhz

_UNITS = {
    **{"_mhz": "MHz", "_khz": "kHz", "_hz": "Hz", "_mw": "mW", "_dbm": "dBm", "_dbi": "dBi", "_dbv": "dBV"},
    **{"_db": "dB", "_m": "m", "_h": "h", "_min": "min", "_pct": "%", "_ohm": "ohm", "_deg": "degrees"},
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


def pointer_words(pointer: str) -> str:
    """Return a pointer as a reader says it: `antennas ear-out coax length m`."""
    return " ".join(part.replace("_", " ") if part.islower() else part for part in split_pointer(pointer))
