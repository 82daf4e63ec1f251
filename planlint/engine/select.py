"""Which plans a run judges: what was named, and everything that uses it; of a scan's data, what reads it."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator, Sequence
from fnmatch import fnmatchcase
from pathlib import Path
from typing import NamedTuple

from planlint.document import Mapping, OutsideRootError, Scalar, inside, text_at
from planlint.document import Sequence as Sequence_
from planlint.plan.shelf import Shelf

#: Kinds that are shows.
SHOWS = frozenset({"venue", "plan"})
#: Kinds that are judged on their own; the others are judged through the plans that use them. A record of what was
#: found is judged with the show it is about.
JUDGED = SHOWS | {"as-set"}
_SCAN = ".csv"


class NothingToCheckError(ValueError):
    """The paths name nothing that can be checked; the message says what to do."""


class Selection(NamedTuple):
    """What a run looks at.

    Attributes:
        plans: venues, plans and records to judge, and tours that no venue uses, by path.
        files: further plan files that were named, judged as files only.
        passed_over: named files that are no plan files.
    """

    plans: tuple[str, ...]
    files: tuple[str, ...]
    passed_over: tuple[str, ...]


def select(shelf: Shelf, paths: Sequence[Path], skip: Iterable[str] = ()) -> Selection:
    """Choose the plans to judge.

    Raises:
        NothingToCheckError: a path does not exist or lies outside the root, or no plan file was found.
    """
    skip = tuple(skip)
    named: dict[str, None] = {}
    passed_over: list[str] = []
    folders = False
    for path in paths:
        if not path.exists():
            raise NothingToCheckError(f"{path}: no such file or folder")
        try:
            file = inside(shelf.root, path)
        except OutsideRootError as error:
            raise NothingToCheckError(f"{path} {error} ({shelf.root.name}/): name a root with --root") from error
        if path.is_dir():
            folders = True
            named.update(dict.fromkeys(found for found in shelf.search(path) if not _skipped(found, skip)))
        elif _skipped(file, skip):
            passed_over.append(file)
        elif file.casefold().endswith(_SCAN) and (users := _reading(shelf, file)):
            named.update(dict.fromkeys(user for user in users if not _skipped(user, skip)))
        elif not shelf.is_plan(file):
            passed_over.append(file)
        else:
            named[file] = None
    if not named and (folders or not passed_over):
        raise NothingToCheckError(
            "no plan file here: a plan file begins with 'plan_format: 1' (planlint init writes one)"
        )
    return _with_users(shelf, sorted(named), tuple(sorted(passed_over)))


def _skipped(file: str, skip: tuple[str, ...]) -> bool:
    return any(fnmatchcase(file, pattern) or fnmatchcase(file, f"{pattern.rstrip('/')}/*") for pattern in skip)


def _with_users(shelf: Shelf, named: Sequence[str], passed_over: tuple[str, ...]) -> Selection:
    plans: set[str] = set()
    files: set[str] = set()
    for file in named:
        kind = shelf.judged(file).kind
        if kind in JUDGED:
            plans.add(file)
            continue
        users = shows_using(shelf, file) if kind in {"tour", "models", "region"} else ()
        plans.update(users)
        if not users and kind == "tour":
            plans.add(file)
        files.add(file)
    return Selection(tuple(sorted(plans)), tuple(sorted(files - plans)), passed_over)


def shows_using(shelf: Shelf, file: str) -> tuple[str, ...]:
    """Return every venue and plan under the root that uses a file, directly or through its tour."""
    found: set[str] = set()
    ahead = [file]
    while ahead:
        target = ahead.pop()
        for user in _direct_users(shelf, target):
            if user not in found:
                found.add(user)
                ahead.append(user)
    return tuple(sorted(user for user in found if text_at(shelf.document(user), "kind") in SHOWS))


def _direct_users(shelf: Shelf, file: str) -> Iterator[str]:
    """Yield the plan files whose `uses` names a file; only those whose text mentions its name are parsed."""
    name = posixpath.basename(file)
    for user in shelf.plan_files():
        if user == file or name not in shelf.text(user):
            continue
        root = shelf.document(user).root
        uses = root.entries.get("uses") if root else None
        for item in uses.value.items if uses and isinstance(uses.value, Sequence_) else ():
            if isinstance(item, Scalar):
                used = posixpath.normpath(posixpath.join(posixpath.dirname(user), item.text))
                if used == file or _same_file(shelf, used, file):
                    yield user
                    break


def _reading(shelf: Shelf, scan: str) -> list[str]:
    """Return the plan files with a scan of which a file is the data."""
    name = posixpath.basename(scan)
    return [user for user in shelf.plan_files() if name in shelf.text(user) and scan in _scan_files(shelf, user)]


def _scan_files(shelf: Shelf, user: str) -> Iterator[str]:
    root = shelf.document(user).root
    scans = root.entries.get("scans") if root else None
    for item in scans.value.entries.values() if scans and isinstance(scans.value, Mapping) else ():
        data = item.value.entries.get("file") if isinstance(item.value, Mapping) else None
        if data and isinstance(data.value, Scalar):
            yield posixpath.normpath(posixpath.join(posixpath.dirname(user), data.value.text))


def _same_file(shelf: Shelf, used: str, file: str) -> bool:
    if used.startswith("..") or not shelf.exists(used):
        return False
    try:
        return inside(shelf.root, shelf.root / used) == file
    except OutsideRootError:
        return False
