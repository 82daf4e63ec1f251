"""Plan files as of a revision, laid out in a folder of their own, so that everything reads them as files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from planlint.git.run import GitError, git, top

#: What a plan may consist of: plan files, the configuration, scans.
_ENDINGS = (".yaml", ".yml", ".csv")
_LINK = "120000"


class Named(NamedTuple):
    """A file as of a commit: the repository's top folder, the commit's id, and the path from the top."""

    repository: Path
    commit: str
    path: str


class _Blob(NamedTuple):
    mode: str
    object_id: str
    path: str


def named(word: str, working: Path) -> Named:
    """Read `REV:path`, as git does: the path counts from the repository's top, or with `./` from here.

    Raises:
        GitError: there is no repository, no such revision, or no such file in it.
    """
    revision, _, path = word.partition(":")
    repository = top(working)
    if path.startswith(("./", "../")):
        here = working.resolve().relative_to(repository).as_posix()
        path = PurePosixPath(_normal(f"{here}/{path}")).as_posix()
    try:
        commit = _one(git(repository, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}"))
    except GitError as error:
        raise GitError(f"{word}: no revision is called '{revision}'") from error
    if not any(blob.path == path for blob in _blobs(repository, commit)):
        raise GitError(f"{word}: no such YAML file as of {revision} ('{path}' counts from the repository's top)")
    return Named(repository, commit, path)


def lay_out(found: Named, folder: Path) -> Path:
    """Write every plan file of a commit, and the scans, below a folder; return the path of the named one."""
    blobs = list(_blobs(found.repository, found.commit))
    links = []
    for blob, content in zip(blobs, _contents(found.repository, blobs), strict=True):
        target = folder / blob.path
        target.parent.mkdir(parents=True, exist_ok=True)
        if blob.mode == _LINK:
            links.append((target, content.decode("utf-8", errors="replace")))
        else:
            target.write_bytes(content)
    for target, to in links:  # last, so that no file is written through one; one that leads out is refused on reading
        target.symlink_to(to)
    return folder / found.path


def _one(printed: bytes) -> str:
    return printed.decode().strip()


def _normal(path: str) -> str:
    kept: list[str] = []
    for part in path.split("/"):
        if part == ".." and kept:
            kept.pop()
        elif part not in {"", ".", ".."}:
            kept.append(part)
    return "/".join(kept)


def _blobs(repository: Path, commit: str) -> Iterator[_Blob]:
    for line in git(repository, "ls-tree", "-r", "-z", "--full-tree", commit).split(b"\0"):
        head, _, name = line.partition(b"\t")
        path = name.decode("utf-8", errors="surrogateescape")
        if not path.lower().endswith(_ENDINGS) or ".." in path.split("/"):
            continue
        mode, kind, object_id = head.decode().split()
        if kind == "blob":
            yield _Blob(mode, object_id, path)


def _contents(repository: Path, blobs: list[_Blob]) -> Iterator[bytes]:
    printed = git(repository, "cat-file", "--batch", feed="".join(f"{blob.object_id}\n" for blob in blobs).encode())
    at = 0
    for _ in blobs:
        end = printed.index(b"\n", at)
        size = int(printed[at:end].split()[2])
        yield printed[end + 1 : end + 1 + size]
        at = end + 1 + size + 1


def files_of(repository: Path, commit: str) -> dict[str, bytes]:
    """Return every plan file of a commit, and the scans, by path; links are left out."""
    blobs = [blob for blob in _blobs(repository, commit) if blob.mode != _LINK]
    return {blob.path: content for blob, content in zip(blobs, _contents(repository, blobs), strict=True)}


def write_files(files: Mapping[str, bytes], folder: Path) -> Path:
    """Write files below a new folder that is a root of its own; return it."""
    (folder / ".git").mkdir(parents=True)
    for path, content in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return folder
