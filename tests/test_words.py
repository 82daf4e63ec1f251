"""What planlint may never say, and names that do not belong here."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
_CLAIM = re.compile(r"\b(safe|safely|legal|legally|compliant|compliance|certified|guaranteed?)\b", re.IGNORECASE)
#: Speaking of the claim in order to deny it, or quoting a law.
_ALLOWED = re.compile(r"says safe|PYTHONSAFEPATH|quote:|SafeLoader|fail-safe|certified pack")


def _spoken() -> list[Path]:
    code = list((ROOT / "planlint").rglob("*.py"))
    return [
        *code,
        *(ROOT / "planlint").rglob("*.yaml"),
        *(ROOT / "tests").rglob("*.out"),
        *(ROOT / "schemas").glob("*.json"),
    ]


def test_no_output_claims_safety_or_legality() -> None:
    claims = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path in _spoken()
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if _CLAIM.search(line) and not _ALLOWED.search(line)
    ]
    assert claims == []


@pytest.mark.parametrize("folder", ["planlint", "schemas", "examples"])
def test_no_absolute_paths_of_a_machine(folder: str) -> None:
    pattern = re.compile(r"(?<![\w.])/(home|root|work|Users|tmp)/")
    found = [
        str(path.relative_to(ROOT))
        for path in (ROOT / folder).rglob("*")
        if path.suffix in {".py", ".yaml", ".json", ".md"} and pattern.search(path.read_text("utf-8"))
    ]
    assert found == []
