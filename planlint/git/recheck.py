"""The merged sum: two edits that are clean alone and dirty together."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from planlint.config import ConfigError, read_config
from planlint.diff.effect import key
from planlint.engine import NothingToCheckError, Report, check
from planlint.finding import Finding
from planlint.git.merge import merge
from planlint.git.run import GitError, git
from planlint.plan.shelf import ENDINGS

Files = Mapping[str, bytes]


class Heads(NamedTuple):
    """The commits of a merge."""

    base: str | None
    ours: str
    theirs: str


def merged_files(base: Files, ours: Files, theirs: Files) -> dict[str, bytes]:
    """Return every file as the merge will leave it; one that needs a decision is ours."""
    merged = {}
    for path in sorted(ours.keys() | theirs.keys()):
        before, mine, other = base.get(path), ours.get(path), theirs.get(path)
        found = other if mine == before else mine
        if mine is not None and other is not None and mine not in {before, other} and other != before:
            found = _merged(before or b"", mine, other, path)
        if found is not None:
            merged[path] = found
    return merged


def _merged(base: bytes, ours: bytes, theirs: bytes, path: str) -> bytes:
    if not path.endswith(ENDINGS):
        return ours
    try:
        result = merge(*(side.decode("utf-8") for side in (base, ours, theirs)))
    except UnicodeDecodeError:
        return ours
    return result.text.encode() if result.clean else ours


def together(ours: Path, theirs: Path, merged: Path, *, files: tuple[str, ...] = ()) -> tuple[Finding, ...]:
    """Return the findings that the merged plans have and neither side has.

    Args:
        ours: root of our files.
        theirs: root of theirs.
        merged: root of the merged ones.
        files: the files to judge with everything that uses them; the whole root if none.
    """
    known = {key(finding, by_plan=True) for root in (ours, theirs) for finding in _findings(root, files)}
    return tuple(
        finding
        for finding in _findings(merged, files)
        if finding.waived is None and key(finding, by_plan=True) not in known
    )


def _findings(root: Path, files: tuple[str, ...]) -> tuple[Finding, ...]:
    there = [root / file for file in files if (root / file).is_file()]
    if files and not there:
        return ()
    try:
        report: Report = check(root, there or [root], read_config(root))
    except (NothingToCheckError, ConfigError):
        return ()
    return tuple(finding for finding in report.findings if finding.waived is None)


def heads_of(repository: Path, env: Mapping[str, str]) -> Heads | None:
    """Return the commits of the merge that git is about, as it names them to its drivers; None where it does not."""
    named = [name.removeprefix("GITHEAD_") for name in env if name.startswith("GITHEAD_")]
    try:
        ours = git(repository, "rev-parse", "HEAD").decode().strip()
        others = [commit for commit in named if commit != ours]
        if len(others) != 1:
            return None
        base = git(repository, "merge-base", ours, others[0]).decode().split()
    except GitError:
        return None
    return Heads(base[0] if base else None, ours, others[0])
