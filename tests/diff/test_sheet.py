"""The difference for people: order, width, both ends together, and the same data in every format."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from planlint.config import Config
from planlint.diff import apply, canonical
from planlint.diff.change import Change
from planlint.diff.effect import Effect, Worse
from planlint.diff.result import Difference
from planlint.diff.side import side
from planlint.engine.difference import CannotCompareError, difference
from planlint.finding import Finding, Place, Severity
from planlint.output import diff_json, diff_markdown, diff_text
from planlint.output.diff_parts import FIRST, sheet
from planlint.output.paint import Paint
from planlint.plan import Shelf
from planlint.schema.store import schema
from tests.diff.fixtures import EXAMPLES, HARBOUR, MILLRACE
from tests.diff.shows import compare
from tests.rules.case_files import all_cases, lay

GOLDEN = Path(__file__).parent / "golden"
EDITS = {
    "501.000, power_mw: 9": "511.000, power_mw: 27",
    "label: 2 GTR}\n  PK-10": "label: 2 LEAD}\n  PK-10",
    "limiter_db: -18": "limiter_db: -15",
    "PK-S: {stands_in_for: PK-1}}": "PK-S: {stands_in_for: PK-1, limiter_db: -15, volume: fixed}}",
    "desk_out: [3, 4]": "desk_out: [7, 8]",
    '{what: show, at: "20:00"': '{what: show, at: "20:30"',
    "day:": "antennas: {ear-out: {for: ear, gain_dbi: 6}}\nday:",
    "tv_occupied: [15, 16]": "tv_occupied: [15, 16, 19]",
    "mic-1: {carrier_mhz": "mic-1: {unused: none tonight}\n  # was: {carrier_mhz",
}


@pytest.fixture(name="found")
def _found(tmp_path: Path) -> Difference:
    return compare(tmp_path, EDITS)


def text(found: Difference) -> str:
    return diff_text.render(found, Paint(on=False))


def finding(rule: str, severity: Severity, values: dict[str, float]) -> Finding:
    place = Place("venues/a.yaml", 7, 25, 7, 32, "/carriers/ear-1/carrier_mhz")
    return Finding(
        rule, severity, "ear-1 and ear-2 are 500 kHz apart; limit 600.", "venues/a.yaml", place, ("ear-1", "ear-2"), values, (),
        None, None, True, 0.0,
    )  # fmt: skip


def test_golden_text_and_markdown(found: Difference, update_golden: bool) -> None:
    """What the rules say is theirs to word: here stand one new finding and one that is worse."""
    new = finding("spacing-too-close", "error", {"spacing_khz": 500})
    worse = Worse(
        finding("link-margin-low", "warning", {"margin_db": 2}), finding("link-margin-low", "note", {"margin_db": 4})
    )
    found = found._replace(
        effect=Effect((new,), (finding("floor-over-clean", "note", {}),), (worse,)),
        rules_run=9,
        rules_lacking=1,
        risks=("power-raised",),
    )
    for name, rendered in (("sheet.txt", text(found)), ("sheet.md", diff_markdown.render(found))):
        if update_golden:
            GOLDEN.mkdir(exist_ok=True)
            (GOLDEN / name).write_text(rendered, "utf-8")
        assert (GOLDEN / name).read_text("utf-8") == rendered


def test_the_first_line_is_always_the_same(found: Difference, tmp_path: Path) -> None:
    same = compare(tmp_path / "same", {})
    for each in (found, same):
        assert text(each).splitlines()[0] == FIRST
        assert diff_markdown.render(each).splitlines()[0] == f"**{FIRST}**"
    assert text(same).splitlines()[1] == "No difference: nothing to touch."


def test_the_parts_stand_in_the_order_of_need(found: Difference) -> None:
    assert [part.title for part in sheet(found).parts] == [
        "Safety first", "Work list", "Leave alone", "By person", "By pack", "Labels", "Patch", "Antennas and racks",
        "The day", "Also changed", "Risk",
    ]  # fmt: skip


def test_it_fits_a_phone() -> None:
    shelf = Shelf(EXAMPLES)
    found = difference(side(shelf, MILLRACE, "a"), side(shelf, HARBOUR, "b"), Config())
    lines = text(found).splitlines()
    assert len(lines) > 60
    assert max(map(len, lines)) <= diff_text.WIDTH <= 80


def test_units_stand_by_rack_and_both_ends_together(found: Difference) -> None:
    work = next(part for part in sheet(found).parts if part.title == "Work list")
    jobs = [
        (line.depth, line.text.partition(" ")[0].rstrip(":")) for line in work.lines if not line.text.startswith("why")
    ]
    assert jobs == [
        (0, "Rack"), (1, "ear-1"), (2, "TX-1"), (2, "PK-1"), (2, "PK-S"), (1, "ear-2"), (2, "PK-2"), (1, "ear-10"),
        (2, "PK-10"), (0, "mic-1"),
    ]  # fmt: skip
    assert {line.text.partition(" ")[0].rstrip(":") for line in work.lines if line.box and line.depth} == set(
        found.touched.fields
    )


def test_every_change_is_told(found: Difference) -> None:
    """A change is told in one of the parts of changes, or by the units it makes one touch."""
    said = text(found)
    for change in found.changes:
        told = any(item.id == "enter-again" for item in change.consequences)
        assert told or change.pointer.split("/")[-1].partition("_")[0] in said, change.pointer


def as_change(data: dict[str, Any]) -> Change:
    kept = {key: data[key] for key in ("kind", "pointer", "old", "new", "other_pointer")}
    return Change(**kept)


def test_the_json_says_all_that_it_takes(found: Difference) -> None:
    data = json.loads(diff_json.render(found))
    assert list(data) == ["format", "changes", "touch", "leave", "findings"]
    Draft202012Validator(schema("diff")).validate(data)
    for change in data["changes"]:
        assert list(change) == ["kind", "pointer", "old", "new", "unit", "cause", "consequences", "other_pointer"]
    old, new = (as_plain(each.values) for each in (found.old, found.new))
    assert apply(old, [as_change(change) for change in data["changes"]]) == canonical(new)
    assert data["touch"].keys().isdisjoint(data["leave"])


def as_plain(values: dict[str, Any]) -> dict[str, Any]:
    plain: dict[str, Any] = json.loads(json.dumps(diff_json.plain(values)))
    return plain


def test_the_schema_of_findings_is_the_one_of_check() -> None:
    theirs, ours = schema("findings")["$defs"], schema("diff")["$defs"]
    for name in ("rule_id", "severity", "pointer", "subjects", "related", "waived", "finding"):
        assert ours[name] == theirs[name]
    assert ours["worse"]["properties"].keys() == theirs["finding"]["properties"].keys() | {"was"}


def test_the_head_counts_in_peoples_time(found: Difference) -> None:
    hands = found.hands
    assert (hands.min_per_unit, hands.house) == (2.0, True)
    assert hands.minutes == 2.0 * (hands.units + hands.entries)
    assert f"about {hands.minutes:.0f} min" in " ".join(text(found).splitlines()[1:3])


def test_names_from_a_file_cannot_steer_terminal_or_markdown(tmp_path: Path) -> None:
    found = compare(tmp_path, {"place: Mill": 'place: "M\\e[31m*ill*<b>"', "501.000": "501.025"})
    assert "\x1b" not in text(found)
    assert "\\*ill\\*\\<b\\>" in diff_markdown.render(found)


def test_a_link_without_written_ends_is_called_by_them(tmp_path: Path) -> None:
    text_of = "plan_format: 1\nkind: plan\nshow: {region: us}\nlinks: {vox: {kind: ear, carrier_mhz: 505.3}}\n"
    (tmp_path / "a.yaml").write_text(text_of, "utf-8")
    (tmp_path / "b.yaml").write_text(text_of.replace("505.3", "507.3"), "utf-8")
    shelf = Shelf(tmp_path)
    found = difference(side(shelf, "a.yaml", "a"), side(shelf, "b.yaml", "b"), Config())
    assert "[ ] every unit on vox: carrier 505.300 → 507.300" in " ".join(text(found).split())


def test_any_case_against_any_other_makes_a_sheet_in_every_format(tmp_path: Path) -> None:
    """Whatever two plans hold: no fault, the schema's shape, and lines that fit."""
    chosen = all_cases()[::60]
    made = 0
    for number, (first, second) in enumerate(pairwise(chosen)):
        sides = []
        for name, case in (("a", first), ("b", second)):
            root = tmp_path / f"{number}-{name}"
            root.mkdir()
            (root / ".planlint.yaml").write_text("root: true\n", "utf-8")
            judged = lay(case.path.read_text("utf-8"), root)
            sides.append(side(Shelf(root), judged.relative_to(root).as_posix(), case.name))
        try:
            found = difference(sides[0], sides[1], Config())
        except CannotCompareError:
            continue
        Draft202012Validator(schema("diff")).validate(json.loads(diff_json.render(found)))
        assert diff_markdown.render(found).startswith(f"**{FIRST}**")
        assert max(map(len, text(found).splitlines())) <= 80
        made += 1
    assert made > len(chosen) // 2
