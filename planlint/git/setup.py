"""Telling git about plans: attributes in the repository, drivers in its configuration, a look after every merge."""

from __future__ import annotations

import shlex
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

from planlint.fix.whole import write_whole
from planlint.git.run import GitError, git

_BEGIN = "# planlint: plans are compared and merged by what they say (planlint git-setup)"
_END = "# planlint: end"
ATTRIBUTES = f"{_BEGIN}\n*.yaml diff=planlint merge=planlint\n*.yml diff=planlint merge=planlint\n{_END}\n"
_HOOK_MARK = "# planlint git-setup"


class Check(NamedTuple):
    """One thing that must hold for git to ask planlint: what, whether it holds, and what to do if not."""

    what: str
    holds: bool
    says: str


def program() -> str:
    """Return the words that run this planlint, for a shell; nothing of the folder it runs in is imported."""
    return f"{shlex.quote(sys.executable)} -P -m planlint"


def wanted_config() -> dict[str, str]:
    """Return the configuration that a clone needs, by key."""
    return {
        "merge.planlint.name": "planlint: three-way by identity",
        "merge.planlint.driver": f"{program()} git-merge-file %O %A %B %L %P",
        "diff.planlint.command": f"{program()} git-diff-file",
        "diff.planlint.textconv": f"{program()} git-text",
    }


def set_up(repository: Path) -> list[str]:
    """Make a clone use planlint for its plan files; return what was done.

    Raises:
        GitError: git said no.
        OSError: a file cannot be written.
    """
    done = []
    attributes = repository / ".gitattributes"
    text = attributes.read_text("utf-8") if attributes.exists() else ""
    if ATTRIBUTES not in text:
        write_whole(attributes, _without(text) + ATTRIBUTES)
        done.append("wrote .gitattributes: commit it, it holds for everybody")
    for name, value in wanted_config().items():
        git(repository, "config", "--local", name, value)
    done.append("wrote this clone's configuration: every clone needs its own git-setup")
    hook = _hook(repository)
    if hook.exists() and _HOOK_MARK not in hook.read_text("utf-8", errors="replace"):
        done.append(f"left {hook.name} alone, it is yours: add '{program()} git-merged' to it")
    else:
        write_whole(hook, f"#!/bin/sh\n{_HOOK_MARK}\n{program()} git-merged\n")
        hook.chmod(0o755)
        done.append(f"wrote the hook {hook.name}: after a merge the merged sum is checked")
    return done


def take_down(repository: Path) -> list[str]:
    """Undo `set_up`; return what was done."""
    done = []
    attributes = repository / ".gitattributes"
    if attributes.exists() and _BEGIN in attributes.read_text("utf-8"):
        left = _without(attributes.read_text("utf-8"))
        if left:
            write_whole(attributes, left)
        else:
            attributes.unlink()
        done.append("took the lines out of .gitattributes")
    for section in ("merge.planlint", "diff.planlint"):
        try:
            git(repository, "config", "--local", "--remove-section", section)
            done.append(f"took {section} out of this clone's configuration")
        except GitError:
            continue
    hook = _hook(repository)
    if hook.exists() and _HOOK_MARK in hook.read_text("utf-8", errors="replace"):
        hook.unlink()
        done.append(f"removed the hook {hook.name}")
    return done or ["nothing was set up here"]


def checks(repository: Path, files: list[str]) -> list[Check]:
    """Return what must hold for git to ask planlint about these plan files; without it git falls back silently."""
    found = []
    for attribute in ("diff", "merge"):
        other = _not_ours(repository, attribute, files)
        says = f".gitattributes gives {', '.join(other[:3])} another {attribute}: run planlint git-setup"
        found.append(Check(f"{attribute} attribute of {len(files)} plan files", not other, says))
    for name in wanted_config():
        value = _config(repository, name)
        says = f"{name} is not set in this clone: run planlint git-setup"
        found.append(Check(name, value is not None, says))
        words = shlex.split(value or "")
        if value is not None and name != "merge.planlint.name":
            says = f"{words[0]} cannot run planlint any more: run planlint git-setup again"
            found.append(Check(f"{name} runs", _runs(words), says))
    hook = _hook(repository)
    there = hook.exists() and "git-merged" in hook.read_text("utf-8", errors="replace")
    found.append(Check(f"hook {hook.name}", there, "merges whose files do not meet are not checked: run git-setup"))
    return found


def _without(text: str) -> str:
    """Return a text without our lines."""
    start, end = text.find(_BEGIN), text.find(_END)
    if start >= 0 and end > start:
        text = text[:start] + text[end + len(_END) :].lstrip("\n")
    return text if not text or text.endswith("\n") else f"{text}\n"


def _hook(repository: Path) -> Path:
    path = git(repository, "rev-parse", "--git-path", "hooks/post-merge").decode().rstrip("\n")
    return repository / path


def _not_ours(repository: Path, attribute: str, files: list[str]) -> list[str]:
    feed = "".join(f"{file}\0" for file in files).encode()
    parts = git(repository, "check-attr", "-z", "--stdin", attribute, feed=feed).decode().split("\0")
    return [parts[at] for at in range(0, len(parts) - 2, 3) if parts[at + 2] != "planlint"]


def _config(repository: Path, name: str) -> str | None:
    try:
        return git(repository, "config", "--get", name).decode().rstrip("\n")
    except GitError:
        return None


def _runs(words: list[str]) -> bool:
    """Say whether the program that a driver names is a planlint; `-P -m planlint` or another way to call it."""
    start = words[: words.index("planlint") + 1] if "planlint" in words else words[:1]
    try:
        done = subprocess.run([*start, "--version"], capture_output=True, check=False, timeout=60)  # noqa: S603
    except (OSError, subprocess.SubprocessError):
        return False
    return done.returncode == 0 and done.stdout.startswith(b"planlint ")
