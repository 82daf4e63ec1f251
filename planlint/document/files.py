"""Files and the root: which folder a plan lives in, and reading one file without leaving it."""

from __future__ import annotations

import re
from pathlib import Path

from planlint.document.nodes import Document, Mapping, Scalar, Span, Trouble
from planlint.document.parse import MAX_BYTES, parse

CONFIG_NAME = ".planlint.yaml"
_ROOT_TRUE = re.compile(r"^root:[ \t]*true[ \t]*(#.*)?$", re.MULTILINE)
_HAS_FORMAT = re.compile(r"^[\"']?plan_format[\"']?[ \t]*:", re.MULTILINE)


class OutsideRootError(ValueError):
    """A path leads out of the root; the message says how."""


def find_root(start: Path, working: Path) -> Path:
    """Find the root for a file or folder.

    The nearest ancestor with `.git` or with a `.planlint.yaml` that says `root: true`; else the working
    folder if it is an ancestor; else the file's own folder.
    """
    folder = start if start.is_dir() else start.parent
    folder = folder.resolve()
    for candidate in (folder, *folder.parents):
        if (candidate / ".git").exists():
            return candidate
        config = candidate / CONFIG_NAME
        if config.is_file() and _ROOT_TRUE.search(config.read_text("utf-8", errors="replace")):
            return candidate
    working = working.resolve()
    return working if working == folder or working in folder.parents else folder


def inside(root: Path, path: Path) -> str:
    """Return `path` relative to `root` with forward slashes, links followed.

    Raises:
        OutsideRootError: the path, or what a link on it leads to, lies outside the root.
    """
    real = path.resolve()
    if real != root and root not in real.parents:
        plain = Path(path.parent.resolve() / path.name)
        if path.is_symlink() and (root in plain.parents):
            raise OutsideRootError("is a link that leads out of the root")
        raise OutsideRootError("lies outside the root")
    return real.relative_to(root).as_posix()


def looks_like_a_plan(text: str) -> bool:
    """Say whether a text has `plan_format` at its top level, as far as text alone can tell."""
    return bool(_HAS_FORMAT.search(text))


def load(root: Path, file: str) -> Document:
    """Read and parse one file under the root; never raises for what the file holds.

    Args:
        root: the root folder, resolved.
        file: the path relative to it, with forward slashes.
    """
    path = root / file
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            return _unread(file, "yaml-refused", f"a file of {size} bytes, more than {MAX_BYTES // 2**20} MiB")
        raw = path.read_bytes()
    except OSError as error:
        return _unread(file, "yaml-broken", f"the file cannot be read ({error.strerror or error})")
    return from_bytes(raw, file)


def from_bytes(raw: bytes, file: str) -> Document:
    """Decode and parse; bytes that are no UTF-8 give a fatal document that says where."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        good = raw[: error.start].decode("utf-8", errors="replace")
        line, column = good.count("\n") + 1, len(good) - (good.rfind("\n") + 1) + 1
        what = f"a byte that is no UTF-8 (0x{raw[error.start]:02x})"
        trouble = Trouble("yaml-refused", Span(line, column, line, column + 1), "", {"what": what})
        return Document(file, raw.decode("utf-8", errors="replace"), None, (trouble,), fatal=True)
    return parse(text, file)


def _unread(file: str, rule: str, what: str) -> Document:
    return Document(file, "", None, (Trouble(rule, Span(1, 1, 1, 2), "", {"what": what}),), fatal=True)


def text_at(document: Document, key: str) -> str | None:
    """Return the text of a scalar at the top of a document, or None."""
    entry = document.root.entries.get(key) if isinstance(document.root, Mapping) else None
    return entry.value.text if entry and isinstance(entry.value, Scalar) else None
