"""What a plain scalar means: to this format (YAML 1.2 core, as the schema decides) and to YAML 1.1 readers."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

import yaml

from planlint.document import Scalar, Span

_NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]{1,2})?")
_INTEGER = re.compile(r"[-+]?[0-9]+")
_MAX_DIGITS = 40
_NULLS = frozenset({"", "~", "null", "Null", "NULL"})
_TRUE = frozenset({"true", "True", "TRUE"})
_FALSE = frozenset({"false", "False", "FALSE"})
_READERS_1_1 = yaml.SafeLoader.yaml_implicit_resolvers
_SPOKEN = {
    "bool": "true or false",
    "int": "a number",
    "float": "a number",
    "timestamp": "a date",
    "value": "a special value",
}

Plain = str | int | Decimal | bool | None


class Trap(NamedTuple):
    """A plain scalar that YAML 1.1 readers turn into something else than this format does."""

    pointer: str
    span: Span
    text: str
    reads_as: str
    key: bool


def number(text: str) -> int | Decimal | None:
    """Return the exact number a plain scalar stands for, or None if it is none."""
    if len(text) > _MAX_DIGITS or not _NUMBER.fullmatch(text):
        return None
    return int(text) if _INTEGER.fullmatch(text) else Decimal(text)


def core(scalar: Scalar) -> Plain:
    """Return the value of a scalar by YAML 1.2 core rules alone, where no schema says what is wanted."""
    text = scalar.text
    if scalar.style != "plain":
        return text
    if text in _NULLS:
        return None
    if text in _TRUE or text in _FALSE:
        return text in _TRUE
    value = number(text)
    return text if value is None else value


def as_text(scalar: Scalar) -> str | None:
    """Return a scalar as text; None for a plain null."""
    return None if scalar.style == "plain" and scalar.text in _NULLS else scalar.text


def as_number(scalar: Scalar) -> Plain:
    """Return a plain number as int or Decimal; anything else by its core meaning (never a number)."""
    if scalar.style != "plain":
        return scalar.text
    value = number(scalar.text)
    return core(scalar) if value is None else value


def as_truth(scalar: Scalar) -> Plain:
    """Return `true` or `false`; any other scalar comes back as its text."""
    if scalar.style == "plain" and (scalar.text in _TRUE or scalar.text in _FALSE):
        return scalar.text in _TRUE
    return as_text(scalar)


def reads_as_1_1(text: str) -> str | None:
    """Return what YAML 1.1 readers take a plain scalar for: `bool`, `int`, `float`, `timestamp`, … or None for text.

    Source: YAML 1.1 type repository (yaml.org/type), as PyYAML's resolver implements it.
    """
    for tag, pattern in _READERS_1_1.get(text[:1], ()):
        if pattern.match(text):
            return str(tag).rpartition(":")[2]
    return None


def trap_as_text(scalar: Scalar) -> str | None:
    """Say what a 1.1 reader makes of a plain scalar that is meant as text; None where it agrees."""
    if scalar.style != "plain" or scalar.text in _NULLS:
        return None
    kind = reads_as_1_1(scalar.text)
    return _SPOKEN.get(kind) if kind else None


def trap_as_number(scalar: Scalar) -> str | None:
    """Say what a 1.1 reader makes of a plain number that this format reads otherwise; None where both agree."""
    text = scalar.text
    if scalar.style != "plain" or number(text) is None:
        return trap_as_text(scalar)
    kind = reads_as_1_1(text)
    if kind not in {"int", "float"}:
        return "text"
    digits = text.lstrip("+-")
    return "an octal number" if kind == "int" and len(digits) > 1 and digits[0] == "0" else None


def trap_as_key(scalar: Scalar) -> str | None:
    """Say what a 1.1 reader makes of a plain key; plain counting numbers are harmless as keys."""
    if scalar.text.isdigit() and (scalar.text == "0" or scalar.text[0] != "0"):
        return None
    return trap_as_text(scalar)
