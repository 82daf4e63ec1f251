"""Every rule against its cases, and the cases against rules that do nothing."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

from planlint.rules.registry import all_rules, by_id
from tests.rules.case_files import CASES, Case, all_cases, run, said

RULES = sorted(by_id())


def _name(case: Case) -> str:
    return f"{case.rule}/{case.name}"


@pytest.mark.parametrize("case", all_cases(), ids=_name)
def test_case(case: Case, tmp_path: Path, update_golden: bool) -> None:
    report = run(case.path.read_text("utf-8"), tmp_path)
    found = said(report, case.rule)
    lacking = {entry.rule for entry in report.not_checked}
    if case.name.startswith("fail-"):
        assert found, "a fail case in which the rule says nothing"
        if update_golden:
            case.expected.write_text(found, "utf-8")
        assert found == case.expected.read_text("utf-8")
    elif case.name.startswith("unchecked-"):
        assert case.rule in lacking
    else:
        assert case.name.startswith("pass-")
        assert found == ""
        assert case.rule not in lacking, "a pass case in which the rule lacked facts"
        assert case.rule in report.ran


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_has_a_pass_and_a_fail_case(rule: str) -> None:
    folder = CASES / by_id()[rule].subject / rule
    assert sorted(folder.glob("pass-*.yaml")), f"no pass case in {folder.relative_to(CASES)}"
    assert sorted(folder.glob("fail-*.yaml")), f"no fail case in {folder.relative_to(CASES)}"


def test_no_case_without_a_rule() -> None:
    homes = {(loaded.subject, loaded.id) for loaded in all_rules()}
    assert {(case.path.parent.parent.name, case.rule) for case in all_cases()} <= homes


@pytest.mark.parametrize("rule", RULES)
def test_an_emptied_rule_fails_a_case(rule: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    module = importlib.import_module(by_id()[rule].module)
    monkeypatch.setattr(module, "check", lambda *words: iter(()))
    failing = [case for case in all_cases() if case.rule == rule and case.name.startswith("fail-")]
    wrong = []
    for number, case in enumerate(failing):
        report = run(case.path.read_text("utf-8"), tmp_path / str(number))
        if said(report, rule) != case.expected.read_text("utf-8"):
            wrong.append(case.name)
    assert wrong, f"{rule} can be emptied and no case of it fails"
