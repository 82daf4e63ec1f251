"""The examples: the clean ones are silent, the broken twin says exactly what its list expects."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from planlint.config import Config
from planlint.engine import Report, check
from planlint.rules.registry import all_rules
from tests.cli.command import planlint
from tests.examples.relations import relations
from tests.examples.shows import BROKEN, CLEAN, EXAMPLES, ROOT, UNREADABLE, emissions

SPRING = EXAMPLES / "saltmarsh-spring"
BARN = EXAMPLES / "glass-barn" / "plan.yaml"
EXPECTED = Path(__file__).parent / "broken_expected.yaml"


class Found(NamedTuple):
    rule: str
    file: str
    pointer: str
    subjects: tuple[str, ...]


def report_of(name: str) -> Report:
    return check(EXAMPLES / name, [EXAMPLES / name], Config())


def findings(folder: Path) -> list[dict[str, Any]]:
    run = planlint("check", folder, "--root", folder, "--format", "json", cwd=ROOT)
    assert run.stderr == ""
    found: list[dict[str, Any]] = json.loads(run.stdout)["findings"]
    return found


def expected() -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = yaml.safe_load(EXPECTED.read_text("utf-8"))["findings"]
    return entries


@pytest.mark.parametrize("name", CLEAN)
def test_a_clean_example_is_silent(name: str) -> None:
    run = planlint("check", EXAMPLES / name, "--fail-on", "warning", cwd=ROOT)
    assert (run.returncode, run.stderr) == (0, ""), run.stdout
    assert "0 errors, 0 warnings" in run.stdout


def test_no_example_is_forgotten() -> None:
    assert sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir()) == sorted(CLEAN)


def test_both_shows_of_the_tour_are_judged() -> None:
    report = report_of("saltmarsh-spring")
    assert [head.date for head in report.heads] == ["2027-03-13", "2027-04-10"]


def test_every_plan_rule_runs_on_a_clean_example() -> None:
    reports = {name: report_of(name) for name in CLEAN}
    rows = [
        (loaded.id, [name for name in CLEAN if loaded.id in reports[name].ran])
        for loaded in all_rules()
        if loaded.rule.on == "plan"
    ]
    print("\nrule -> the clean examples it runs on")
    for rule, names in sorted(rows):
        print(f"  {rule:<34}{', '.join(names) or '(none)'}")
    assert len(rows) >= 50
    assert [rule for rule, names in rows if not names] == []


@pytest.mark.parametrize("show", sorted((SPRING / "venues").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_tours_carriers_and_spares_are_free_of_intermodulation(show: Path) -> None:
    together = emissions(show, SPRING / "tour.yaml", SPRING / "models.yaml", spares=True)
    assert len(together) >= 15
    assert relations(together) == set()


def test_the_barns_carriers_and_spares_are_free_of_intermodulation() -> None:
    together = emissions(BARN, BARN, BARN, spares=True)
    assert len(together) == 6
    assert relations(together) == set()


def test_the_broken_twin_says_what_is_expected_and_nothing_else() -> None:
    found = Counter(
        Found(finding["rule"], f"{folder.name}/{finding['file']}", finding["pointer"], tuple(finding["subjects"]))
        for folder in (BROKEN, UNREADABLE)
        for finding in findings(folder)
    )
    wanted = Counter(
        Found(entry["rule"], entry["file"], entry["at"], tuple(entry.get("subjects", ()))) for entry in expected()
    )
    print(f"\nexpected {wanted.total()}, found {found.total()}, extra {(found - wanted).total()}")
    assert sorted((wanted - found).elements()) == [], "missing"
    assert sorted((found - wanted).elements()) == [], "extra"


def test_the_broken_twin_plants_more_than_forty_faults_of_as_many_rules() -> None:
    planted = [entry["rule"] for entry in expected() if not entry.get("follows")]
    assert len(set(planted)) >= 40
    assert {entry["rule"] for entry in expected()} == set(planted)


@pytest.mark.parametrize("show", sorted((BROKEN / "venues").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_broken_twins_relations_are_those_of_the_definition(show: Path) -> None:
    together = emissions(show, BROKEN / "tour.yaml", BROKEN / "models.yaml", spares=False)
    said = {
        finding["values"]["relation"]
        for finding in findings(BROKEN)
        if finding["rule"].startswith("intermod-")
        and finding["rule"] != "intermod-wide-product"  # whatever misses by its centre
        and finding["file"] == f"venues/{show.name}"
    }
    assert said
    assert said == relations(together)


def test_exit_codes_of_the_broken_files() -> None:
    assert planlint("check", BROKEN, "--root", BROKEN, cwd=ROOT).returncode == 1
    assert planlint("check", UNREADABLE, "--root", UNREADABLE, cwd=ROOT).returncode == 2
