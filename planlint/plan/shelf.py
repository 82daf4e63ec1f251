"""Every file of a run, read and judged once."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from planlint.document import Document, OutsideRootError, inside, load, looks_like_a_plan
from planlint.document.files import CONFIG_NAME, from_bytes
from planlint.schema.judge import Judged, is_plan_file, judge

if TYPE_CHECKING:
    from planlint.plan.model import Plan
    from planlint.plan.resolve import Resolved

ENDINGS = (".yaml", ".yml")
_SHIPPED = "shipped region "


class Shelf:
    """Files under one root by relative path; each is read once, however many plans use it."""

    def __init__(self, root: Path, instead: Mapping[str, bytes] | None = None) -> None:
        """Read from a folder; files of `instead` hold these bytes, whatever the folder says."""
        self.root = root.resolve()
        self._instead = dict(instead or {})
        self._judged: dict[str, Judged] = {}
        self._documents: dict[str, Document] = {}
        self._texts: dict[str, str] = {}
        self._plan_files: tuple[str, ...] | None = None
        self._resolved: dict[str, Resolved] = {}
        self._plans: dict[str, Plan] = {}

    def resolved(self, file: str) -> Resolved:
        """Return one venue, plan, tour or record with everything it uses."""
        from planlint.plan.resolve import resolve  # it knows shelves

        if file not in self._resolved:
            self._resolved[file] = resolve(self, file)
        return self._resolved[file]

    def plan(self, file: str) -> Plan:
        """Return the typed plan of one venue, plan, tour or record."""
        from planlint.plan.build import build  # it knows shelves

        if file not in self._plans:
            self._plans[file] = build(self.resolved(file), self)
        return self._plans[file]

    def document(self, file: str) -> Document:
        """Return one file's document."""
        if file not in self._documents:
            other = self._instead.get(file)
            self._documents[file] = load(self.root, file) if other is None else from_bytes(other, file)
        return self._documents[file]

    def judged(self, file: str) -> Judged:
        """Return one file, judged by the schema of its kind."""
        if file not in self._judged:
            self._judged[file] = judge(self.document(file))
        return self._judged[file]

    def exists(self, file: str) -> bool:
        """Say whether a path under the root is a file."""
        return (self.root / file).is_file()

    def is_plan(self, file: str) -> bool:
        """Say whether a file claims to be a plan file; a file that cannot be read may be one."""
        document = self.document(file)
        return document.fatal or is_plan_file(document)

    def shipped_region(self, region: str) -> Judged | None:
        """Return a region file that is part of planlint, or None."""
        path = Path(__file__).resolve().parent.parent / "regions" / f"{region}.yaml"
        name = f"{_SHIPPED}{region}"
        if name not in self._judged:
            if not path.is_file():
                return None
            self._judged[name] = judge(from_bytes(path.read_bytes(), name))
        return self._judged[name]

    def plan_files(self) -> tuple[str, ...]:
        """Return every plan file under the root, in order of path."""
        if self._plan_files is None:
            self._plan_files = tuple(sorted(set(self.search(self.root))))
        return self._plan_files

    def search(self, folder: Path) -> Iterator[str]:
        """Yield the plan files below a folder; hidden folders and links that lead out are passed over."""
        for here, folders, names in os.walk(folder):
            folders[:] = sorted(name for name in folders if not name.startswith(".") and name != "node_modules")
            for name in sorted(names):
                if not name.endswith(ENDINGS) or name == CONFIG_NAME:
                    continue
                try:
                    file = inside(self.root, Path(here) / name)
                except OutsideRootError:
                    continue
                if self._mentions_format(file):
                    yield file

    def _mentions_format(self, file: str) -> bool:
        return looks_like_a_plan(self.text(file))

    def text(self, file: str) -> str:
        """Return a file's text without parsing it; most YAML files of a repository are no plans."""
        if file in self._documents or file in self._instead:
            return self.document(file).text
        if file not in self._texts:
            try:
                self._texts[file] = (self.root / file).read_text("utf-8-sig", errors="replace")
            except OSError:
                self._texts[file] = ""
        return self._texts[file]


def shipped_regions() -> tuple[str, ...]:
    """Return the ids of the region files that are part of planlint."""
    folder = Path(__file__).resolve().parent.parent / "regions"
    return tuple(sorted(path.stem for path in folder.glob("*.yaml")))
