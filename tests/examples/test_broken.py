"""The broken twins of the examples: each says exactly what its list expects."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from tests.cli.command import planlint
from tests.examples.relations import relations, skirts
from tests.examples.shows import BROKEN, EXPECTED, HERE, ROOT, UNREADABLE, emissions, on_air

SHOWS = [(name, show) for name, example in BROKEN.items() for show in example.files()]
RELATIONS = {
    "intermod-two-signal-third",
    "intermod-three-signal-third",
    "intermod-two-signal-fifth",
    "intermod-three-signal-fifth",
}


class Found(NamedTuple):
    rule: str
    file: str
    pointer: str
    subjects: tuple[str, ...]


def findings(folder: Path) -> list[dict[str, Any]]:
    run = planlint("check", folder, "--root", folder, "--format", "json", cwd=ROOT)
    assert run.stderr == ""
    found: list[dict[str, Any]] = json.loads(run.stdout)["findings"]
    return found


def expected(name: str) -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = yaml.safe_load((HERE / EXPECTED[name]).read_text("utf-8"))["findings"]
    return entries


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_twin_says_what_is_expected_and_nothing_else(name: str) -> None:
    folders = [BROKEN[name].folder, *([UNREADABLE] if name == "saltmarsh-broken" else [])]
    found = Counter(
        Found(finding["rule"], f"{folder.name}/{finding['file']}", finding["pointer"], tuple(finding["subjects"]))
        for folder in folders
        for finding in findings(folder)
    )
    wanted = Counter(
        Found(entry["rule"], entry["file"], entry["at"], tuple(entry.get("subjects", ()))) for entry in expected(name)
    )
    print(f"\n{name}: expected {wanted.total()}, found {found.total()}, extra {(found - wanted).total()}")
    assert sorted((wanted - found).elements()) == [], "missing"
    assert sorted((found - wanted).elements()) == [], "extra"


@pytest.mark.parametrize(("name", "at_least"), [(name, 40 if "saltmarsh" in name else 25) for name in BROKEN])
def test_a_broken_twin_plants_faults_of_many_rules(name: str, at_least: int) -> None:
    planted = [entry["rule"] for entry in expected(name) if not entry.get("follows")]
    print(f"\n{name}: {len(planted)} faults of {len(set(planted))} rules")
    assert len(set(planted)) >= at_least
    assert {entry["rule"] for entry in expected(name)} == set(planted)


@pytest.mark.parametrize(("name", "show"), SHOWS, ids=[f"{name}-{show.stem}" for name, show in SHOWS])
def test_a_broken_twins_relations_are_those_of_the_definition(name: str, show: Path) -> None:
    example = BROKEN[name]
    said: dict[str, set[str]] = {"centre": set(), "skirt": set()}
    for finding in findings(example.folder):
        rule, file = finding["rule"], example.folder / finding["file"]
        if file == show and (rule in RELATIONS or rule == "intermod-wide-product"):
            said["centre" if rule in RELATIONS else "skirt"].add(finding["values"]["relation"])
    carriers = emissions(example, show, spares=False)
    together = [{one: carriers[one] for one in ids if one in carriers} for ids in on_air(example, show)]
    assert said["centre"] == set().union(*(relations(ids) for ids in together))
    wide = {text: members for ids in together for text, members in skirts(ids).items()}
    assert said["skirt"] <= wide.keys()
    told = {member for text in said["skirt"] for member in wide[text]}
    ours = {member for members in wide.values() for member in members} & example.links()
    assert ours <= told, "a link whose products reach somebody is in no finding"


def test_exit_codes_of_the_broken_files() -> None:
    for example in BROKEN.values():
        assert planlint("check", example.folder, "--root", example.folder, cwd=ROOT).returncode == 1
    assert planlint("check", UNREADABLE, "--root", UNREADABLE, cwd=ROOT).returncode == 2
