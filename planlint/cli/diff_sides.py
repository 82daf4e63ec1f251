"""What the two sides of `planlint diff` are: paths, `REV:path` in git, the show before, or the last good state."""

from __future__ import annotations

import sys
import tempfile
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from planlint.document import OutsideRootError, find_root, inside
from planlint.plan import Shelf

if TYPE_CHECKING:
    from planlint.diff.side import Side


class OpenError(ValueError):
    """A side cannot be opened; the message says what to do."""


def open_sides(
    words: list[str], stack: ExitStack, root: Path | None, *, previous: bool, since_good: bool
) -> tuple[Side, Side]:
    """Open both sides.

    Args:
        words: what the user named.
        stack: closes what must live as long as the sides are read.
        root: the root for paths, or None for the nearest.
        previous: the old side is the show before.
        since_good: the old side is the state that was marked good.

    Raises:
        OpenError: wrong use, or a side that cannot be opened.
    """
    if previous and since_good:
        raise OpenError("--previous and --since-good both name the old side: use one of them")
    wanted = 1 if previous or since_good else 2
    if len(words) != wanted:
        alone = "NEW alone" if wanted == 1 else "two plan files, OLD and NEW (or one with --previous or --since-good)"
        raise OpenError(f"name {alone}; {len(words)} given")
    new = _open(words[-1], stack, root)
    if previous:
        return _before(new), new
    return _open(_good(words[0]) if since_good else words[0], stack, root), new


def _open(word: str, stack: ExitStack, root: Path | None) -> Side:
    path = Path(word)
    if path.is_dir():
        raise OpenError(f"{word} is a folder: name one plan file")
    if path.is_file():
        return open_path(path, root)
    return open_path(_as_of(word, stack), None, word)


def open_path(path: Path, root: Path | None = None, label: str | None = None) -> Side:
    """Open one plan file.

    Args:
        path: the file.
        root: the root, or None for the nearest.
        label: how the user named it, if not by its path.

    Raises:
        OpenError: it is no plan file, or lies outside the root.
    """
    from planlint.diff.side import side

    word = label or str(path)
    if not path.is_file():
        raise OpenError(f"{word}: no such file")
    top = root.resolve() if root else find_root(path, Path.cwd())
    try:
        file = inside(top, path)
    except OutsideRootError as error:
        raise OpenError(f"{word} {error} ({top.name}/): name a root with --root") from error
    shelf = Shelf(top)
    if not shelf.is_plan(file):
        raise OpenError(f"{word}: no plan file; a plan file begins with 'plan_format: 1'")
    return side(shelf, file, word)


def _as_of(word: str, stack: ExitStack) -> Path:
    """Lay out the plan files of a revision and return the path of the one named."""
    from planlint.git.revisions import lay_out, named
    from planlint.git.run import GitError

    if ":" not in word:
        raise OpenError(f"{word}: no such file")
    folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="planlint-"))).resolve()
    (folder / ".git").mkdir()  # the repository's top is the root here too
    try:
        return lay_out(named(word, Path.cwd()), folder)
    except GitError as error:
        raise OpenError(str(error)) from error


def _before(new: Side) -> Side:
    from planlint.diff.side import side
    from planlint.engine.before import NoShowBeforeError, show_file_before

    try:
        found = show_file_before(new.shelf, new.file)
    except NoShowBeforeError as error:
        raise OpenError(str(error)) from error
    for one in found.passed:
        print(f"planlint: passed over {one.file}: {one.why}; planlint check says more", file=sys.stderr)  # noqa: T201
    return side(new.shelf, found.file, found.file)


def _good(word: str) -> str:
    from planlint.git.good import good_state
    from planlint.git.run import GitError

    try:
        return good_state(Path(word))
    except GitError as error:
        raise OpenError(str(error)) from error
