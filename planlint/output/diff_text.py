"""A difference for people: fits a phone held upright and any terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from planlint.diff.result import Difference
from planlint.output.diff_parts import Line, sheet
from planlint.output.paint import Paint, harmless

#: Columns; a single word that is longer stands on a line of its own.
WIDTH = 52
_BOX = "[ ] "


def render(found: Difference, paint: Paint) -> str:
    """Return a difference as text.

    Args:
        found: the difference.
        paint: colours, or not.
    """
    page = sheet(found)
    lines = [paint(line, "strong") for line in _wrap(page.first)]
    lines += [line for text in page.head for line in _wrap(text)]
    for part in page.parts:
        lines += ["", paint(part.title.upper(), "strong")]
        lines += [wrapped for line in part.lines for wrapped in _set(line)]
    return "\n".join([*lines, "", *_wrap(page.last)]) + "\n"


def _set(line: Line) -> Iterator[str]:
    indent = " " * line.depth
    first = indent + (_BOX if line.box else "")
    yield from _wrap(line.text, first, " " * (len(first) + (0 if line.box else 2)))


def _wrap(text: str, first: str = "", later: str = "  ") -> list[str]:
    return textwrap.wrap(
        harmless(text), WIDTH, initial_indent=first, subsequent_indent=later, break_long_words=False,
        break_on_hyphens=False,
    )  # fmt: skip
