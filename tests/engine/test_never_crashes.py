"""Whatever a file holds, a run ends in findings: the demo tour with random damage, every place inside its file."""

from __future__ import annotations

import random
import re
import shutil
import tempfile
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.config import Config
from planlint.engine import NothingToCheckError, Report, check

ROOT = Path(__file__).parents[2]
TOURS = ("examples/saltmarsh-spring", "examples/glass-barn")
DAMAGED = (*TOURS, "examples/willow-court", "examples/harrow-green", "examples/lantern-street")
WORDS = (
    "off", "505.3", "505300", "-1", "0", "1e3", "", "~", "none", "auto", "all", "[]", "{}", "[1]", "{a: 1}", '"505.3"', "true",
    "us", "gb", "19:30", '"23:59"', '"2026-02-30"', "unknown", "stereo", "[stereo]", "PK-1", "ear-1", "[ear-1, ear-1]", "99999",
    "0.001", "[{low: 500.000, high: 400.000}]", "ä😀", "../x.yaml", "mono", "stored", "100", "-100", "1",
)  # fmt: skip
_SCALAR = re.compile(r"(?<=: )[^{}\[\],#\n]+|(?<=[\[,] )[^{}\[\],:#\n]+|(?<=: )(\{[^{}\n]*\}|\[[^\[\]\n]*\])")
_KEY = re.compile(r"[A-Za-z_0-9.-]+(?=:)")


@cache
def files(tour: str) -> tuple[str, ...]:
    return tuple(sorted(path.relative_to(ROOT / tour).as_posix() for path in (ROOT / tour).rglob("*.yaml")))


def damage(draw: random.Random, text: str) -> str:
    kind = draw.choice(["value", "value", "value", "key", "line gone", "line twice", "cut"])
    lines = text.splitlines(keepends=True) or ["a: 1\n"]
    spots = list((_SCALAR if kind == "value" else _KEY).finditer(text))
    if kind in {"value", "key"} and spots:
        spot = draw.choice(spots)
        names = [match[0] for match in _KEY.finditer(text)]
        word = draw.choice(WORDS) if kind == "value" else draw.choice([*names, "x"])
        return text[: spot.start()] + word + text[spot.end() :]
    at = draw.randrange(len(lines))
    if kind == "line gone":
        return "".join(lines[:at] + lines[at + 1 :])
    if kind == "line twice":
        return "".join(lines[: at + 1] + lines[at:])
    return "".join(lines[:at])


@settings(max_examples=120, deadline=None, derandomize=True, database=None)
@given(st.integers(0, 2**32))
def test_damaged_tours_end_in_findings(seed: int) -> None:
    draw = random.Random(seed)
    tour = draw.choice(DAMAGED)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve() / "t"
        shutil.copytree(ROOT / tour, folder)
        for _ in range(draw.randint(1, 3)):
            file = folder / draw.choice(files(tour))
            file.write_text(damage(draw, file.read_text("utf-8")), "utf-8")
        try:
            report = check(folder, [folder], Config())
        except NothingToCheckError:
            return
        places_lie_in_their_files(report, folder)


def places_lie_in_their_files(report: Report, folder: Path) -> None:
    for finding in report.findings:
        for place in (finding.place, *(related.place for related in finding.related)):
            text = (folder / place.file).read_text("utf-8", errors="replace")
            lines = text.split("\n")
            assert 1 <= place.line <= max(len(lines), 1)
            assert 1 <= place.column <= len(lines[place.line - 1]) + 2
            assert (place.end_line, place.end_column) > (place.line, 0)


@pytest.mark.parametrize("tour", TOURS)
def test_an_empty_section_of_every_kind(tour: str, tmp_path: Path) -> None:
    """Each top-level key of each file in turn gets an empty map, an empty list and a scalar."""
    for file in files(tour):
        text = (ROOT / tour / file).read_text("utf-8")
        for key in re.findall(r"^([a-z_]+):", text, re.MULTILINE):
            for word in ("{}", "[]", "x"):
                folder = tmp_path / f"{file.replace('/', '_')}-{key}-{len(word)}{word[0]}"
                shutil.copytree(ROOT / tour, folder)
                block = re.compile(rf"^{key}:.*\n((?:[ \t#].*\n|\n)*)", re.MULTILINE)
                found = block.search(text)
                assert found
                (folder / file).write_text(f"{text[: found.start()]}{key}: {word}\n{text[found.end() :]}", "utf-8")
                places_lie_in_their_files(check(folder.resolve(), [folder], Config()), folder)
                shutil.rmtree(folder)
