"""The rules themselves: one page template, and examples that do what the page says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planlint.output.rule_page import page
from planlint.output.rule_table import subject_title
from planlint.rules.base import GROUPS
from planlint.rules.registry import Loaded, all_rules
from tests.rules.case_files import examples, run, said

RULES = all_rules()


@pytest.mark.parametrize("loaded", RULES, ids=lambda loaded: loaded.id)
def test_page_follows_the_template(loaded: Loaded) -> None:
    text = loaded.page
    first = text.splitlines()[0]
    assert first.endswith(".")
    assert len(first) <= 110
    assert re.search(r"^What goes wrong: ", text, re.MULTILINE)
    assert re.search(r"^Bad::\n\n    ", text, re.MULTILINE)
    assert re.search(r"^Good::\n\n    ", text, re.MULTILINE)
    assert re.search(r"^Source: \S", text, re.MULTILINE)
    assert re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", loaded.id)
    assert loaded.rule.group in GROUPS
    assert loaded.rule.source
    assert subject_title(loaded.subject)
    assert page(loaded).startswith(f"{loaded.id} (")


@pytest.mark.parametrize("loaded", RULES, ids=lambda loaded: loaded.id)
def test_examples_on_the_page(loaded: Loaded, tmp_path: Path) -> None:
    found = {word: said(run(plan, tmp_path / word), loaded.id) for word, plan in examples(loaded)}
    assert set(found) == {"Bad", "Good"}
    assert found["Bad"], "the bad example does not show the fault"
    assert found["Good"] == ""


def test_ids_are_unique() -> None:
    ids = [loaded.id for loaded in RULES]
    assert len(ids) == len(set(ids))


def test_modules_are_short() -> None:
    for loaded in RULES:
        path = Path(__import__(loaded.module, fromlist=["x"]).__file__ or "")
        assert len(path.read_text("utf-8").splitlines()) <= 150, loaded.id
