"""After a merge: files that git merged without asking anybody may still make a dirty sum."""

from __future__ import annotations

import tempfile
from pathlib import Path

from planlint.git.recheck import together
from planlint.git.revisions import files_of, write_files
from planlint.git.run import GitError, git


def after_merge(repository: Path) -> list[str]:
    """Return what HEAD has and neither of its two parents had, in words; nothing where HEAD is no merge.

    Raises:
        GitError: git said no.
    """
    try:
        git(repository, "rev-parse", "--verify", "--quiet", "HEAD^2")
    except GitError:
        return []
    with tempfile.TemporaryDirectory(prefix="planlint-") as name:
        roots = [
            write_files(files_of(repository, commit), Path(name) / str(number))
            for number, commit in enumerate(("HEAD^1", "HEAD^2", "HEAD"))
        ]
        found = together(*roots)
    if not found:
        return []
    says = ["each side alone did not bring this, merged they do:"]
    return [*says, *(f"  {each.severity} {each.place.file}: {each.rule}: {each.message}" for each in found)]
