"""The clean examples: silent, and every rule that judges plans runs on one of them at least."""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.config import Config
from planlint.engine import Report, check
from planlint.engine.single import open_plan
from planlint.rules.registry import all_rules
from tests.cli.command import planlint
from tests.examples.relations import relations
from tests.examples.shows import BROKEN, CLEAN, EXAMPLES, ROOT, emissions, on_air

SHOWS = [(name, show) for name, example in CLEAN.items() for show in example.files()]
#: The one finding that a crew accepted, for show.
WAIVED = {"saltmarsh-spring": 1}


def report_of(name: str) -> Report:
    return check(EXAMPLES / name, [EXAMPLES / name], Config())


@pytest.mark.parametrize("name", CLEAN)
def test_a_clean_example_is_silent(name: str) -> None:
    run = planlint("check", EXAMPLES / name, "--fail-on", "warning", cwd=ROOT)
    assert (run.returncode, run.stderr) == (0, ""), run.stdout
    assert "0 errors, 0 warnings" in run.stdout
    assert f"{WAIVED.get(name, 0)} waived" in run.stdout


def test_no_example_is_forgotten() -> None:
    assert sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir()) == sorted(CLEAN)


def test_all_shows_of_a_tour_are_judged() -> None:
    dates = {name: [head.date for head in report_of(name).heads] for name in ("saltmarsh-spring", "willow-court")}
    assert dates["saltmarsh-spring"] == ["2027-03-13", "2027-04-10"]
    assert set(dates["willow-court"]) == {"2027-09-05", "2027-09-08"}


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
    print({name: sum(name in names for _, names in rows) for name in CLEAN}, "of", len(rows))
    assert len(rows) >= 50
    assert [rule for rule, names in rows if not names] == []


@pytest.mark.parametrize(("name", "show"), SHOWS, ids=[f"{name}-{show.stem}" for name, show in SHOWS])
def test_carriers_and_spares_are_free_of_intermodulation(name: str, show: Path) -> None:
    example = CLEAN[name]
    carriers = emissions(example, show, spares=True)
    assert len(carriers) >= example.carriers
    spares = {spare for spare in carriers if spare.startswith("spare-")}
    assert spares
    for ids in on_air(example, show):
        assert relations({one: carriers[one] for one in ids | spares if one in carriers}) == set()


@pytest.mark.parametrize(
    "name", ["glass-barn", "saltmarsh-spring", "willow-court", "harrow-green", "lantern-street", "harrow-green-broken"]
)
def test_who_is_on_together_is_what_every_minute_of_the_day_shows(name: str) -> None:
    example = (CLEAN | BROKEN)[name]
    for show in example.files():
        facts = open_plan(example.folder, show)
        assert set(facts.together) == on_air(example, show)


def test_the_festival_is_free_of_intermodulation_only_because_its_acts_follow_each_other() -> None:
    festival = CLEAN["harrow-green"]
    (show,) = festival.files()
    assert relations(emissions(festival, show, spares=False)), "all at once would not do"
