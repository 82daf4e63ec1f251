"""Colour, only where a person looks, and text from files made harmless."""

from __future__ import annotations

import os
from typing import TextIO

from planlint.finding import Severity

_CODES: dict[str, str] = {"error": "1;31", "warning": "1;33", "note": "1;36", "strong": "1", "faint": "2"}


class Paint:
    """Wraps text in terminal colours, or leaves it alone."""

    def __init__(self, *, on: bool) -> None:
        self.on = on

    def __call__(self, text: str, style: Severity | str) -> str:
        """Return the text in a style: a severity, `strong` or `faint`."""
        return f"\x1b[{_CODES[style]}m{text}\x1b[0m" if self.on else text


def wanted(stream: TextIO) -> bool:
    """Say whether to colour a stream: a terminal, and NO_COLOR unset or empty (no-color.org)."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def harmless(text: str) -> str:
    """Replace control and direction-changing characters, so that a file cannot steer the terminal."""
    return "".join(
        f"\\x{ord(letter):02x}"
        if (ord(letter) < 0x20 and letter != "\t") or 0x7F <= ord(letter) < 0xA0
        else f"\\u{ord(letter):04x}"
        if letter in "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff"
        else letter
        for letter in text
    )
