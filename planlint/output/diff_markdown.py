"""A difference in Markdown, for a pull request: jobs are boxes to tick."""

from __future__ import annotations

import re
from collections.abc import Iterator

from planlint.diff.result import Difference
from planlint.output.diff_parts import Line, sheet
from planlint.output.paint import harmless

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~])")


def render(found: Difference) -> str:
    """Return a difference as Markdown (CommonMark, with the task lists that most forges add)."""
    page = sheet(found)
    lines = [f"**{_plain(page.first)}**", ""]
    for text in page.head:
        lines += [_plain(text), ""]
    for part in page.parts:
        lines += [f"### {part.title}", "", *(text for line in part.lines for text in _set(line)), ""]
    return "\n".join([*lines, _plain(page.last)]) + "\n"


def _set(line: Line) -> Iterator[str]:
    yield f"{'  ' * line.depth}- {'[ ] ' if line.box else ''}{_plain(line.text)}"


def _plain(text: str) -> str:
    """Return text that Markdown shows as it is."""
    return _SPECIAL.sub(r"\\\1", harmless(text)).replace("\n", " ")
