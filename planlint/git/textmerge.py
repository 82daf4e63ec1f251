"""The merge by lines that git itself does: the measure, and the way out where a file is no plan."""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

from planlint.git.run import GitError

_MOST_CONFLICTS = 127


def merge_lines(base: str, ours: str, theirs: str, *, marker: int = 7) -> tuple[str, bool]:
    """Merge three texts line by line.

    Returns:
        The text, with conflict markers where lines meet, and whether there are none.

    Raises:
        GitError: git cannot be run.
    """
    with tempfile.TemporaryDirectory(prefix="planlint-") as name:
        files = [Path(name) / side for side in ("ours", "base", "theirs")]
        for file, text in zip(files, (ours, base, theirs), strict=True):
            file.write_bytes(text.encode("utf-8", errors="surrogateescape"))
        words = ["git", "merge-file", "-p", f"--marker-size={marker}", "-L", "ours", "-L", "base", "-L", "theirs"]
        try:
            done = subprocess.run([*words, *map(str, files)], capture_output=True, check=False)  # noqa: S603
        except OSError as error:
            raise GitError(f"git cannot be run ({error.strerror or error})") from error
    if done.returncode > _MOST_CONFLICTS:
        return "", False
    return done.stdout.decode("utf-8", errors="surrogateescape"), done.returncode == 0


def line_diff(old: Path, new: Path, path: str) -> bytes:
    """Return git's own difference of two files, for a file that is no plan."""
    words = ["git", "diff", "--no-ext-diff", "--no-index", "--", str(old), str(new)]
    done = subprocess.run(words, capture_output=True, check=False)  # noqa: S603
    return f"diff {path}\n".encode() + done.stdout
