"""Option values that the crew writes, held against what a rule declares: a type, and a range for numbers."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, get_type_hints

from planlint.rules.base import Between

_WORDS = {int: "a whole number", float: "a number", str: "a text", bool: "true or false"}


class OptionError(ValueError):
    """A value that a rule cannot use; the message says what it wants."""


def option_value(options: type, key: str, value: object) -> int | float | str | bool:
    """Return a written value as a rule's options hold it.

    Args:
        options: the rule's options, a NamedTuple of int, float, str and bool; numbers with a `Between`.
        key: one of its fields.
        value: as the file was read.

    Raises:
        OptionError: the value is of another kind or out of range.
    """
    hint: Any = get_type_hints(options, include_extras=True)[key]
    kind = getattr(hint, "__origin__", hint)
    bounds = next((one for one in getattr(hint, "__metadata__", ()) if isinstance(one, Between)), None)
    wants = _WORDS[kind] + (f" from {bounds.low:g} to {bounds.high:g}" if bounds else "")
    found: Any = _as_kind(kind, value)
    if found is None or (bounds and not bounds.low <= found <= bounds.high):
        said = str(value).lower() if isinstance(value, bool) else str(value)
        raise OptionError(f"{key}: {said} is not {wants}")
    checked: int | float | str | bool = found
    return checked


def _as_kind(kind: type, value: object) -> Any:
    """Return the value where it is of the kind, else None."""
    if isinstance(value, bool) or kind in (bool, str):
        return value if type(value) is kind else None
    if not isinstance(value, int | float | Decimal):
        return None
    if kind is int:
        return value if isinstance(value, int) else None
    return float(value)
