"""One plan and its facts, for commands that show or propose rather than judge."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import NamedTuple

from planlint.document import OutsideRootError, inside
from planlint.engine.check import siblings, unjudged
from planlint.engine.select import SHOWS, NothingToCheckError
from planlint.facts import Facts
from planlint.facts.scan_file import ScanFiles
from planlint.plan import Resolved, Shelf


class One(NamedTuple):
    """One venue or plan file with everything it uses, and its facts."""

    shelf: Shelf
    file: str
    resolved: Resolved
    facts: Facts


def open_one(root: Path, path: Path) -> One:
    """Open one venue or plan file.

    Raises:
        NothingToCheckError: it is no such file, lies outside the root, or cannot be judged; the message says why.
    """
    if not path.is_file():
        raise NothingToCheckError(f"{path}: no such file")
    try:
        file = inside(root, path)
    except OutsideRootError as error:
        raise NothingToCheckError(f"{path} {error}: name a root with --root") from error
    shelf = Shelf(root)
    judged = shelf.judged(file)
    if not judged.fatal and judged.kind not in SHOWS:
        raise NothingToCheckError(f"{path} is no venue or plan file")
    resolved = shelf.resolved(file)
    why = unjudged(resolved)
    if why:
        raise NothingToCheckError(f"{path}: {why}; planlint check says more")
    plan = shelf.plan(file)
    return One(shelf, file, resolved, Facts(plan, partial(siblings, shelf, plan), ScanFiles(shelf.root)))


def open_plan(root: Path, path: Path) -> Facts:
    """Return the facts of one venue or plan file; raises as `open_one`."""
    return open_one(root, path).facts
