"""What git calls: the merge of one file, its difference, and its text as one line for each value."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from planlint.diff import diff
from planlint.diff.change import Change
from planlint.diff.tree import NAMED, canonical, names
from planlint.diff.words import change_words, plain
from planlint.document import parse
from planlint.finding import Finding
from planlint.fix.whole import write_whole
from planlint.git.merge import Result, merge
from planlint.git.recheck import heads_of, merged_files, together
from planlint.git.revisions import files_of, write_files
from planlint.git.run import GitError
from planlint.git.textmerge import merge_lines
from planlint.schema.judge import is_plan_file, judge


class Outcome(NamedTuple):
    """What a merge of one file came to: the exit code for git, and what to say."""

    code: int
    says: tuple[str, ...]


def merge_file(base: Path, ours: Path, theirs: Path, marker: int, path: str, repository: Path) -> Outcome:
    """Merge one file as git asks, write the result over `ours`, and check the merged sum.

    Args:
        base: the common ancestor's text; an empty file where there is none.
        ours: our text.
        theirs: their text.
        marker: how long a conflict marker is.
        path: the file's path in the repository.
        repository: its top folder.

    Returns:
        Code 0 where nobody needs to decide; 1 for conflicts, and where the merged sum brings an error that neither
        side had: git stops then, and somebody looks.
    """
    raw = [file.read_bytes() for file in (base, ours, theirs)]
    try:
        texts = [side.decode("utf-8") for side in raw]
    except UnicodeDecodeError:
        texts = [side.decode("utf-8", errors="surrogateescape") for side in raw]
        text, clean = merge_lines(*texts, marker=marker)
        ours.write_bytes(text.encode("utf-8", errors="surrogateescape"))
        return Outcome(int(not clean), (f"{path}: no UTF-8, merged by lines",))
    windows = "\r\n" in texts[1]
    result = merge(*(text.replace("\r\n", "\n") if windows else text for text in texts), marker=marker)
    write_whole(ours, result.text.replace("\n", "\r\n") if windows else result.text)
    if not result.clean:
        return Outcome(1, (f"{path}: both sides changed", *(f"  {words}" for words in result.conflicts)))
    if result.by == "none":
        return Outcome(0, ())
    dirty = _dirty(raw, result, path, repository)
    says = [f"{path}: each side alone did not bring this, together they do:"] if dirty else []
    says += [f"  {found.severity} {found.rule}: {found.message}" for found in dirty]
    stop = any(found.severity == "error" for found in dirty)
    if stop:
        says.append(f"  The merge waits: look, change what must change, then git add {path}")
    return Outcome(int(stop), tuple(says))


def _dirty(raw: list[bytes], result: Result, path: str, repository: Path) -> tuple[Finding, ...]:
    """Return what only the merged sum brings; the other files as the whole merge will leave them."""
    heads = heads_of(repository, os.environ)
    try:
        mine = files_of(repository, heads.ours if heads else "HEAD")
        base = files_of(repository, heads.base) if heads and heads.base else ({} if heads else dict(mine))
        other = files_of(repository, heads.theirs) if heads else dict(mine)
    except GitError:
        return ()
    base[path], mine[path], other[path] = raw
    merged = {**merged_files(base, mine, other), path: result.text.encode()}
    with tempfile.TemporaryDirectory(prefix="planlint-") as name:
        roots = [write_files(files, Path(name) / side) for side, files in (("a", mine), ("b", other), ("c", merged))]
        return together(*roots, files=(path,))


def differing(old: Path, new: Path) -> list[str] | None:
    """Return the changes between two texts of one file in words; None where one of them is no plan."""
    values = [_values(path) for path in (old, new)]
    if values[0] is None or values[1] is None:
        return None
    return [_marked(change) for change in diff(values[0], values[1])]


def _marked(change: Change) -> str:
    sign = {"renamed": "> ", "swapped": "x ", "modified": "~ "}.get(change.kind, "")
    return f"{sign}{change_words(change)}"


def _values(path: Path) -> dict[str, Any] | None:
    """Return a file's values; none for a file that is not there (git gives an empty one)."""
    raw = path.read_bytes() if path.exists() else b""
    if not raw:
        return {}
    document = parse(raw.decode("utf-8", errors="replace"), path.name)
    if document.fatal or not is_plan_file(document):
        return None
    return judge(document).values


def flat(text: str) -> str | None:
    """Return a plan as one line for each value, in one order; None where the text is no plan."""
    document = parse(text, "")
    if document.fatal or not is_plan_file(document):
        return None
    return "".join(f"{where}: {value}\n" for where, value in _flat(canonical(judge(document).values), ()))


def _flat(value: Any, path: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping) and value:
        for name in sorted(value):
            yield from _flat(value[name], (*path, name))
    elif isinstance(value, list) and len(path) == 1 and path[0] in NAMED:
        for name, item in zip(names(path[0], value), value, strict=True):
            yield from _flat(item, (*path, name))
    else:
        yield " ".join(path), plain(value)
