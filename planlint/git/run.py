"""Running git."""

from __future__ import annotations

import subprocess
from collections.abc import Mapping
from pathlib import Path


class GitError(RuntimeError):
    """Git said no, or is not there; the message is for people."""


def git(folder: Path, *words: str, feed: bytes = b"", env: Mapping[str, str] | None = None) -> bytes:
    """Run git in a folder and return what it prints.

    Args:
        folder: where.
        words: the command and its arguments.
        feed: what it reads.
        env: the whole environment, or None for this process's own.

    Raises:
        GitError: git is not installed, or the command failed.
    """
    command = ["git", "-C", str(folder), *words]
    try:
        done = subprocess.run(command, input=feed, capture_output=True, check=False, env=env)  # noqa: S603
    except OSError as error:
        raise GitError(f"git cannot be run ({error.strerror or error})") from error
    if done.returncode:
        said = done.stderr.decode("utf-8", errors="replace").strip().splitlines()
        raise GitError(said[0] if said else f"git {words[0]} failed")
    return done.stdout


def top(folder: Path) -> Path:
    """Return the top folder of the repository that a folder lies in.

    Raises:
        GitError: it lies in none.
    """
    try:
        return Path(git(folder, "rev-parse", "--show-toplevel").decode().rstrip("\n")).resolve()
    except GitError as error:
        if "cannot be run" in str(error):
            raise
        raise GitError("no git repository here") from error
