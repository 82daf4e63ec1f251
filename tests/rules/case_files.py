"""Cases of rules: small plans, one file or several, and what one rule says about them.

A case file holds one plan, or several files each headed by a line `# file: NAME`; the first is judged.
`pass-*` must keep the rule silent with nothing lacking, `unchecked-*` must leave it not checked, `fail-*` has the
exact expected findings beside it in `.out`.
"""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from planlint.config import read_config
from planlint.engine import Report, check
from planlint.rules.registry import Loaded

CASES = Path(__file__).parent / "cases"
_HEADING = re.compile(r"^# file: (\S+)\n", re.MULTILINE)


class Case(NamedTuple):
    rule: str
    path: Path

    @property
    def name(self) -> str:
        return self.path.stem

    @property
    def expected(self) -> Path:
        return self.path.with_suffix(".out")


def all_cases() -> list[Case]:
    return [Case(path.parent.name, path) for path in sorted(CASES.glob("*/*/*.yaml"))]


def lay(text: str, folder: Path) -> Path:
    """Write a case's files below a folder and return the file to judge."""
    parts = _HEADING.split(text)
    if len(parts) == 1:
        (folder / "plan.yaml").write_text(text, "utf-8", newline="")
        return folder / "plan.yaml"
    names = parts[1::2]
    for name, content in zip(names, parts[2::2], strict=True):
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(content, "utf-8", newline="")
    return folder / names[0]


def run(text: str, folder: Path) -> Report:
    folder.mkdir(parents=True, exist_ok=True)
    judged = lay(text, folder)
    return check(folder, [judged], read_config(folder))


def said(report: Report, rule: str) -> str:
    """What one rule says in a report, as lines to compare."""
    lines = []
    for finding in report.findings:
        if finding.rule != rule:
            continue
        place = finding.place
        waived = " waived" if finding.waived is not None else ""
        lines.append(
            f"{finding.severity}{waived} {place.file}:{place.line}:{place.column}-{place.end_line}:{place.end_column} "
            f"{place.pointer} [{' '.join(finding.subjects)}]"
        )
        lines.append(f"  {finding.message}")
        lines.append(f"  {json.dumps(finding.values, ensure_ascii=False, sort_keys=True)}")
        lines += [
            f"  + {near.place.file}:{near.place.line}:{near.place.column} {near.place.pointer}: {near.label}"
            for near in finding.related
        ]
        if finding.fix:
            lines.append(f"  do: {finding.fix}")
    return "".join(f"{line}\n" for line in lines)


def examples(loaded: Loaded) -> Iterator[tuple[str, str]]:
    """The `Bad` and `Good` plans of a rule's page."""
    for word, block in re.findall(r"^(Bad|Good)::\n\n((?:    .*\n|\n)+)", loaded.page, re.MULTILINE):
        yield word, textwrap.dedent(block).strip() + "\n"
