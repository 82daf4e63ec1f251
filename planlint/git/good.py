"""The last good state: a commit beside the branches that holds a plan and all it uses as it passed line check."""

from __future__ import annotations

import os
import tempfile
from hashlib import sha256
from pathlib import Path

from planlint.git.run import GitError, git, top
from planlint.plan import Shelf, resolve
from planlint.plan.model import Plan

_REFS = "refs/planlint/good/"


def mark_good(path: Path, shelf: Shelf, plan: Plan) -> str:
    """Record that a plan's state, as it stands in the working folder, passed line check; return the reference.

    The commit holds the tree of HEAD with the plan, all it uses and its scans as they are now. Branches, index and
    working folder stay as they are.

    Args:
        path: the plan.
        shelf: the files it is read from.
        plan: the plan, for the scans it names.

    Raises:
        GitError: there is no repository, or git said no.
    """
    repository = top(path.parent)
    files = [shelf.root / judged.document.file for judged in resolve(shelf, plan.file).files]
    scans = [spec.get("file") for spec in plan.section("scans").values() if isinstance(spec, dict)]
    files += [(shelf.root / plan.file).parent / str(scan) for scan in scans if scan]
    reference = _reference(repository, path)
    with tempfile.TemporaryDirectory(prefix="planlint-") as name:
        env = {**os.environ, "GIT_INDEX_FILE": str(Path(name) / "index")}
        parents: list[str] = []
        try:
            head = git(repository, "rev-parse", "--verify", "--quiet", "HEAD^{commit}").decode().strip()
            parents = ["-p", head]
            git(repository, "read-tree", head, env=env)
        except GitError:
            git(repository, "read-tree", "--empty", env=env)
        for file in files:
            if file.is_file() and repository in file.resolve().parents:
                git(repository, "add", "-f", "--", str(file.resolve()), env=env)
        tree = git(repository, "write-tree", env=env).decode().strip()
        words = f"planlint: {plan.file} passed line check"
        commit = git(repository, "commit-tree", tree, *parents, "-m", words, env=env).decode().strip()
    git(repository, "update-ref", "-m", words, reference, commit)
    return reference


def good_state(path: Path) -> str:
    """Return the state that was marked good as `REV:path`.

    Raises:
        GitError: none was marked.
    """
    repository = top(path.parent)
    reference = _reference(repository, path)
    try:
        commit = git(repository, "rev-parse", "--verify", "--quiet", f"{reference}^{{commit}}").decode().strip()
    except GitError as error:
        raise GitError(f"no state of {path} was marked good: planlint mark-good {path} marks one") from error
    return f"{commit}:{path.resolve().relative_to(repository).as_posix()}"


def _reference(repository: Path, path: Path) -> str:
    """Return the reference of a plan: its path as far as git allows it in a name, and a mark that tells it apart."""
    relative = path.resolve().relative_to(repository).as_posix()
    plain = "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in "-_/") else "-" for letter in relative
    )
    return f"{_REFS}{plain.strip('/-')}-{sha256(relative.encode()).hexdigest()[:8]}"
