"""The scan files of a run: found under the root, each read once and only when somebody asks."""

from __future__ import annotations

import os
import posixpath
from pathlib import Path, PurePosixPath

from planlint.document import OutsideRootError, inside
from planlint.facts.scan_csv import Reading, read

MAX_BYTES = 64 * 2**20
#: Points kept in memory beyond the file in hand; the least recently used are read again when they are needed.
MAX_POINTS = 4_000_000

_UNREAD = Reading(None, ())


class ScanFile:
    """A file that a plan names as a scan.

    Attributes:
        file: its path relative to the root, or as written where it leads out.
        lost: why it cannot be read, or None.
        size: its size in bytes.
    """

    def __init__(self, files: ScanFiles, file: str, lost: str | None, size: int = 0) -> None:
        self.file = file
        self.lost = lost
        self.size = size
        self._files = files
        self._digest: str | None = None

    @property
    def reading(self) -> Reading:
        """Its points or its flaws; neither where it cannot be read."""
        return _UNREAD if self.lost else self._files.reading(self.file)

    @property
    def digest(self) -> str:
        """The SHA-256 of its bytes in hexadecimal; empty where it cannot be read."""
        if self._digest is None:
            self._digest = "" if self.lost else self._files.digest(self.file)
        return self._digest


class ScanFiles:
    """Opens scan files; no file outside the root is read."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._files: dict[str, ScanFile] = {}
        self._readings: dict[str, Reading] = {}

    def __call__(self, plan_file: str, name: str) -> ScanFile:
        """Return the file that a plan names.

        Args:
            plan_file: the file that names it, relative to the root.
            name: the path as written, relative to that file.
        """
        joined = posixpath.normpath(posixpath.join(posixpath.dirname(plan_file), name))
        if joined not in self._files:
            self._files[joined] = self._find(joined, name)
        return self._files[joined]

    def _find(self, joined: str, name: str) -> ScanFile:
        path = self._root / joined
        try:
            if PurePosixPath(name).is_absolute() or "\\" in name or joined.startswith(".."):
                raise OutsideRootError("leads out of the root")
            file = inside(self._root, path)
            if not path.is_file():
                return ScanFile(self, file, "is no file" if path.exists() else "is not there")
            if not os.access(path, os.R_OK):
                return ScanFile(self, file, "cannot be read (no permission)")
            size = path.stat().st_size
        except OutsideRootError as error:
            return ScanFile(self, name, str(error))
        except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before Python 3.13
            return ScanFile(self, name, f"cannot be read ({getattr(error, 'strerror', None) or error})")
        if size > MAX_BYTES:
            return ScanFile(self, file, f"has {size} bytes, more than {MAX_BYTES // 2**20} MiB", size)
        return ScanFile(self, file, None, size)

    def reading(self, file: str) -> Reading:
        """Return what came of a file under the root."""
        reading = self._readings.pop(file, None) or self._read(file)
        self._readings[file] = reading  # the last one stands last
        while len(self._readings) > 1 and sum(map(_weight, self._readings.values())) > MAX_POINTS:
            del self._readings[next(iter(self._readings))]
        return reading

    def _read(self, file: str) -> Reading:
        try:
            with (self._root / file).open("rb") as stream:
                return read(stream)
        except OSError:
            return _UNREAD

    def digest(self, file: str) -> str:
        """Return the SHA-256 of a file under the root; empty where it cannot be read."""
        import hashlib

        try:
            with (self._root / file).open("rb") as stream:
                return hashlib.file_digest(stream, "sha256").hexdigest()
        except OSError:
            return ""


def _weight(reading: Reading) -> int:
    return len(reading.points) if reading.points else 0
