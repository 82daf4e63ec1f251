"""The lines of the files of a run, for code frames."""

from __future__ import annotations

from pathlib import Path


class Lines:
    """Reads each file once; a file that cannot be read has no lines."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._lines: dict[str, list[str]] = {}

    def __call__(self, file: str) -> list[str]:
        """Return the lines of a file relative to the root."""
        if file not in self._lines:
            try:
                text = (self._root / file).read_text("utf-8-sig", errors="replace")
            except OSError:
                text = ""
            self._lines[file] = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        return self._lines[file]
