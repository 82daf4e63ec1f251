"""`init`, `rules`, `explain`, `schema`, `--help`."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from planlint.rules.registry import all_rules
from planlint.schema import store
from tests.cli.command import planlint

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("words", [(), ("--tour",)])
def test_init_writes_a_plan_that_passes(tmp_path: Path, words: tuple[str, ...]) -> None:
    done = planlint("init", "new", *words, cwd=tmp_path)
    assert done.returncode == 0
    checked = planlint("check", "new", "--fail-on", "note" if not words else "warning", cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout
    before = {path: path.read_bytes() for path in (tmp_path / "new").rglob("*") if path.is_file()}
    again = planlint("init", "new", *words, cwd=tmp_path)
    assert again.returncode == 2
    assert "exists already: nothing was written" in again.stderr
    assert {path: path.read_bytes() for path in (tmp_path / "new").rglob("*") if path.is_file()} == before


def test_init_never_writes_half(tmp_path: Path) -> None:
    (tmp_path / "venues").mkdir()
    (tmp_path / "venues/first-night.yaml").write_text("mine\n")
    assert planlint("init", "--tour", cwd=tmp_path).returncode == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["venues"]


def test_rules_and_explain_come_from_the_same_page(tmp_path: Path) -> None:
    text = planlint("rules", cwd=tmp_path).stdout
    rows = json.loads(planlint("rules", "--format", "json", cwd=tmp_path).stdout)["rules"]
    assert [row["id"] for row in rows] == [loaded.id for loaded in all_rules()]
    for row in rows:
        assert row["id"] in text
        assert row["title"] in text
    page = planlint("explain", "spacing-too-close", cwd=tmp_path).stdout
    assert next(row["title"] for row in rows if row["id"] == "spacing-too-close") in page
    assert "A waiver may bound: spacing_khz (lower is worse)." in page
    assert "common practice, no source" in page


def test_explain_suggests(tmp_path: Path) -> None:
    done = planlint("explain", "spacing-to-close", cwd=tmp_path)
    assert done.returncode == 2
    assert "did you mean spacing-too-close?" in done.stderr


@pytest.mark.parametrize("name", ["plan", "tour", "venue", "models", "region", "as-set", "findings"])
def test_schema_prints_the_file(tmp_path: Path, name: str) -> None:
    assert planlint("schema", name, cwd=tmp_path).stdout == store.text(name)


def test_schema_lists_and_suggests(tmp_path: Path) -> None:
    assert planlint("schema", cwd=tmp_path).stdout.split()[:6] == [
        "plan",
        "tour",
        "venue",
        "models",
        "region",
        "as-set",
    ]
    assert "did you mean venue?" in planlint("schema", "venu", cwd=tmp_path).stderr


def test_help_and_version(tmp_path: Path) -> None:
    help_text = planlint("--help", cwd=tmp_path).stdout
    for command in ("check", "init", "rules", "explain", "schema"):
        assert command in help_text
    assert planlint("--version", cwd=tmp_path).stdout.startswith("planlint ")


def test_levels_prints_the_sums(tmp_path: Path) -> None:
    folder = ROOT / "examples/saltmarsh-spring"
    venue = sorted(folder.glob("venues/*.yaml"))[0]
    text = planlint("levels", venue, cwd=folder).stdout
    told = json.loads(planlint("levels", venue, "--format", "json", cwd=folder).stdout)
    assert "Link margins at the farthest spot" in text
    assert len(told["margins"]) > 10
    shown = [float(number) for number in re.findall(r"m: (-?[0-9.]+) \(limit", text)]
    assert shown == pytest.approx([margin["margin_db"] for margin in told["margins"]], abs=0.06)
    assert planlint("levels", folder / "tour.yaml", cwd=folder).returncode == 2
