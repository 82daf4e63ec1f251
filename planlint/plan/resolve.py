"""`uses` followed: one plan out of several files, in which every value remembers its file.

No key comes from two files, except `models` and regions (union by id) and `waivers` (joined); so where a
value comes from is a look-up, and there are no merge rules.
"""

from __future__ import annotations

import posixpath
from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import Any, NamedTuple

from planlint.document import Document, OutsideRootError, Trouble, inside
from planlint.document.nodes import escape, locate, split_pointer
from planlint.finding import Place
from planlint.plan.shelf import Shelf
from planlint.schema.judge import Judged

#: What each kind may name under `uses`.
MAY_USE = {
    "plan": frozenset({"models", "region"}),
    "tour": frozenset({"models", "region"}),
    "venue": frozenset({"tour"}),
    "as-set": frozenset({"venue", "plan"}),
}
_HEADS = frozenset({"plan_format", "kind", "uses"})


class Resolved(NamedTuple):
    """One plan as plain values, with the files it comes from.

    Attributes:
        file: the venue or plan (or tour) that was resolved.
        kind: its kind.
        values: all sections by key.
        files: every file read, the plan's own first.
        homes: which file a section comes from; `models` and `waivers` have their own.
        model_homes: which file each model comes from.
        waiver_homes: for each joined waiver its file and its index there.
        regions: regions that the crew's own files define, by id, with their file.
        troubles: what is wrong with `uses` itself, by file.
    """

    file: str
    kind: str
    values: dict[str, Any]
    files: tuple[Judged, ...]
    homes: dict[str, str]
    model_homes: dict[str, str]
    waiver_homes: tuple[tuple[str, int], ...]
    regions: dict[str, tuple[dict[str, Any], str]]
    troubles: tuple[tuple[str, Trouble], ...]

    def place(self, pointer: str, *, key: bool = False) -> Place:
        """Return the place of a pointer into the resolved plan: its file, range and pointer within the file."""
        file, local = self._home(pointer)
        document = self._document(file)
        if document.root is None:
            return Place(file, 1, 1, 1, 1, "")
        span, found = locate(document.root, local, key=key)
        return Place(file, *span, found)

    def _home(self, pointer: str) -> tuple[str, str]:
        parts = split_pointer(pointer)
        if not parts:
            return self.file, pointer
        if parts[0] == "waivers" and len(parts) > 1 and int(parts[1]) < len(self.waiver_homes):
            file, index = self.waiver_homes[int(parts[1])]
            rest = "".join(f"/{escape(part)}" for part in parts[2:])
            return file, f"/waivers/{index}{rest}"
        if parts[0] == "models" and len(parts) > 1:
            return self.model_homes.get(parts[1], self.file), pointer
        return self.homes.get(parts[0], self.file), pointer

    def _document(self, file: str) -> Document:
        return next(judged.document for judged in self.files if judged.document.file == file)


class _Builder:
    def __init__(self, shelf: Shelf, file: str) -> None:
        self.shelf = shelf
        self.values: dict[str, Any] = {}
        self.files: list[Judged] = []
        self.homes: dict[str, str] = {}
        self.model_homes: dict[str, str] = {}
        self.waivers: list[tuple[Any, str, int]] = []
        self.regions: dict[str, tuple[dict[str, Any], str]] = {}
        self.troubles: list[tuple[str, Trouble]] = []
        self._add(shelf.judged(file))

    def _add(self, judged: Judged) -> None:
        file = judged.document.file
        self.files.append(judged)
        for key, value in judged.values.items():
            if key == "models" and isinstance(value, dict):
                self._models(value, judged)
            elif key == "waivers" and isinstance(value, list):
                self.waivers += [(waiver, file, index) for index, waiver in enumerate(value)]
            elif key == "found" and key in self.values:
                self._trouble(judged, "key-twice", "/found", {"key": key, "first_file": self.homes[key]}, key=True)
            elif key not in _HEADS:
                self.values[key] = value
                self.homes[key] = file
        for used in self._used(judged):
            if used.kind == "region":
                self.files.append(used)
                region = used.values.get("region")
                if isinstance(region, str):
                    self.regions[region] = (used.values, used.document.file)
            else:
                self._add(used)

    def _models(self, models: dict[str, Any], judged: Judged) -> None:
        file = judged.document.file
        mine = self.values.setdefault("models", {})
        for name, model in models.items():
            if name in mine:
                first = self.model_homes[name]
                values = {"key": name, "first_file": first}
                self._trouble(judged, "key-twice", f"/models/{escape(name)}", values, key=True)
                continue
            mine[name] = model
            self.model_homes[name] = file

    def _trouble(self, judged: Judged, rule: str, pointer: str, values: dict[str, str], *, key: bool = False) -> None:
        root = judged.document.root
        assert root is not None
        span, _ = locate(root, pointer, key=key)
        self.troubles.append((judged.document.file, Trouble(rule, span, pointer, values)))

    def _used(self, judged: Judged) -> Iterator[Judged]:
        names = judged.values.get("uses")
        allowed = MAY_USE.get(judged.kind)
        if allowed is None:
            return
        found: list[str] = []
        for index, name in enumerate(names if isinstance(names, list) else ()):
            at = f"/uses/{index}"
            used = self._open(judged, str(name), at)
            if used is None:
                continue
            if not used.kind:  # it gives no document, or says no kind that is known: its own rules tell
                self.files.append(used)
                continue
            if used.kind not in allowed:
                if not used.fatal:
                    values = {"file": str(name), "found": used.kind, "known": " or ".join(sorted(allowed))}
                    self._trouble(judged, "wrong-kind", at, values)
                continue
            if judged.kind in {"venue", "as-set"} and found:
                values = {"file": str(name), "found": f"a second {used.kind}", "known": f"one {used.kind}"}
                self._trouble(judged, "wrong-kind", at, values)
                continue
            found.append(used.kind)
            yield used
        if judged.kind in {"venue", "as-set"} and names == []:
            wants = "the tour's file, like [../tour.yaml]" if judged.kind == "venue" else "the venue's file"
            self._trouble(judged, "key-missing", "/uses", {"key": "uses", "wants": wants, "of": ""})

    def _open(self, judged: Judged, name: str, at: str) -> Judged | None:
        file = judged.document.file
        joined = posixpath.normpath(posixpath.join(posixpath.dirname(file), name))
        outside = PurePosixPath(name).is_absolute() or joined.startswith("..") or "\\" in name
        if not outside:
            try:
                joined = inside(self.shelf.root, self.shelf.root / joined)
            except OutsideRootError:
                outside = True
        if outside:
            values = {"key": "uses", "found": name, "wants": "a path inside the root, relative to this file"}
            self._trouble(judged, "wrong-value", at, values)
            return None
        if not self.shelf.exists(joined):
            near = self._near(joined, file)
            self._trouble(judged, "unknown-id", at, {"id": name, "space": "file", "near": near})
            return None
        if any(joined == read.document.file for read in self.files):
            return None
        return self.shelf.judged(joined)

    def _near(self, wanted: str, file: str) -> str:
        from planlint.schema.describe import nearest

        near = nearest(wanted, self.shelf.plan_files())
        return posixpath.relpath(near, posixpath.dirname(file) or ".") if near else ""


def resolve(shelf: Shelf, file: str) -> Resolved:
    """Resolve one venue, plan, tour or as-set with everything it uses."""
    builder = _Builder(shelf, file)
    values = builder.values
    if builder.waivers:
        values["waivers"] = [waiver for waiver, _, _ in builder.waivers]
    return Resolved(
        file=file,
        kind=shelf.judged(file).kind,
        values=values,
        files=tuple(builder.files),
        homes=builder.homes,
        model_homes=builder.model_homes,
        waiver_homes=tuple((home, index) for _, home, index in builder.waivers),
        regions=builder.regions,
        troubles=tuple(builder.troubles),
    )
