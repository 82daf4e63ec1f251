"""Real git repositories for tests, apart from this machine's own configuration."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

ENV = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_AUTHOR_NAME": "crew",
    "GIT_AUTHOR_EMAIL": "crew@example.org",
    "GIT_COMMITTER_NAME": "crew",
    "GIT_COMMITTER_EMAIL": "crew@example.org",
    "GIT_EDITOR": "true",
}


def run(folder: Path, *words: str, fail: bool = False) -> subprocess.CompletedProcess[str]:
    """Run git; `fail` says that it may end with another code than 0."""
    done = subprocess.run(
        ["git", *words],
        cwd=folder,
        env={**os.environ, **ENV},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert fail or done.returncode == 0, (words, done.stdout, done.stderr)
    return done


def new(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    run(folder, "init", "-q", "-b", "main")
    return folder


def commit(folder: Path, message: str = "change") -> str:
    run(folder, "add", "-A")
    run(folder, "commit", "-q", "--allow-empty", "-m", message)
    return run(folder, "rev-parse", "HEAD").stdout.strip()
