"""Records of what units showed: judged with the show they are about, asked of no show that has none."""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.config import Config
from planlint.engine import Report, check

RECORD_RULES = {
    *("ends-differ-carrier", "left-from-partial-send", "unknown-pack-state", "display-name-old"),
    *("pack-lent-not-restored", "tape-not-in-plan"),
}
FILES = {
    "tour.yaml": """plan_format: 1
kind: tour
pack_defaults: {limiter_db: -12}
devices: {TX-1: {label: 1 VOX}, PK-1: {label: 1 VOX}, PK-S: {label: SPARE}}
links: {ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}
""",
    "venues/a.yaml": """plan_format: 1
kind: venue
uses: [../tour.yaml]
show: {date: "2026-03-14", town: Weirbridge}
spectrum: {tv_raster: us-6mhz, tv_occupied: [19]}
carriers: {ear-1: {carrier_mhz: 505.300}}
""",
    "venues/b.yaml": """plan_format: 1
kind: venue
uses: [../tour.yaml]
show: {date: "2026-03-21", town: Netherquay}
spectrum: {tv_raster: us-6mhz, tv_occupied: [14]}
carriers: {ear-1: {carrier_mhz: 505.300}}
""",
    "as-set/a.yaml": """plan_format: 1
kind: as-set
uses: [../venues/a.yaml]
found:
  TX-1: {carrier_mhz: 505.300, label: 1 VOX}
  PK-1: {carrier_mhz: 505.300, label: 1 VOX, limiter_db: -12}
  PK-S: {carrier_mhz: 485.575, label: SPARE, limiter_db: -12}
""",
}


def lay(folder: Path, **changed: str) -> Path:
    for name, text in {**FILES, **changed}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    return folder


def judge(root: Path, *names: str) -> Report:
    return check(root, [root / name for name in names], Config())


def found(report: Report) -> list[tuple[str, str, str]]:
    return [(item.rule, item.plan, item.place.file) for item in report.findings]


def lacking(report: Report) -> set[str]:
    return {entry.rule for entry in report.not_checked if "/found" in entry.needs}


def test_a_record_named_alone_is_judged_with_its_show(tmp_path: Path) -> None:
    report = judge(lay(tmp_path), "as-set/a.yaml")
    assert [(head.file, head.kind, head.date, head.unjudged) for head in report.heads] == [
        ("as-set/a.yaml", "as-set", "2026-03-14", None)
    ]
    assert report.files == ("as-set/a.yaml", "tour.yaml", "venues/a.yaml")
    assert set(report.ran) >= RECORD_RULES
    assert ("ends-differ-carrier", "venues/a.yaml", "as-set/a.yaml") in found(report)
    assert ("occupied-tv-channel", "venues/a.yaml", "venues/a.yaml") in found(report)
    assert not [item for item in report.findings if item.rule == "tv-list-copied"]


def test_a_show_named_alone_asks_for_no_record_but_says_what_was_not_checked(tmp_path: Path) -> None:
    report = judge(lay(tmp_path), "venues/a.yaml")
    assert "as-set/a.yaml" not in report.files
    assert not RECORD_RULES & {rule for rule, _, _ in found(report)}
    assert lacking(report) == RECORD_RULES
    assert not RECORD_RULES & set(report.ran)


def test_in_a_folder_the_record_adds_to_what_its_show_says(tmp_path: Path) -> None:
    root = lay(tmp_path)
    report = judge(root, ".")
    shows = judge(root, "venues/a.yaml", "venues/b.yaml")
    extra = [item for item in found(report) if item[0] in RECORD_RULES]
    assert [item for item in found(report) if item not in extra] == found(shows)
    assert extra == [("ends-differ-carrier", "venues/a.yaml", "as-set/a.yaml")]


def test_one_record_is_enough_for_its_rules_to_have_run(tmp_path: Path) -> None:
    """The show of next week has no record yet."""
    report = judge(lay(tmp_path), ".")
    assert not lacking(report)
    assert set(report.ran) >= RECORD_RULES
    counts = report.counts
    both = judge(tmp_path, "venues").counts
    total = counts.rules_run + counts.rules_not_checked + counts.rules_off
    assert total == both.rules_run + both.rules_not_checked + both.rules_off
    assert counts.rules_run - both.rules_run == len(RECORD_RULES)


@pytest.mark.parametrize(
    ("name", "text", "why"),
    [
        ("as-set/a.yaml", "plan_format: 1\nkind: as-set\nuses: []\nfound: {}\n", "it uses no venue or plan"),
        ("venues/a.yaml", "plan_format: 1\nkind: venue\nuses: []\n", "its venue uses no tour"),
    ],
)
def test_a_record_without_its_show_is_not_judged(tmp_path: Path, name: str, text: str, why: str) -> None:
    report = judge(lay(tmp_path, **{name: text}), "as-set/a.yaml")
    assert [head.unjudged for head in report.heads] == [why]


def test_a_record_of_a_unit_that_is_not_in_the_plan(tmp_path: Path) -> None:
    text = FILES["as-set/a.yaml"].replace("PK-S:", "PK-X:")
    report = judge(lay(tmp_path, **{"as-set/a.yaml": text}), "as-set/a.yaml")
    place = next(item.place for item in report.findings if item.rule == "unknown-id")
    assert (place.file, place.pointer) == ("as-set/a.yaml", "/found/PK-X")


def test_two_records_of_one_show_in_one_run_of_rules(tmp_path: Path) -> None:
    """A plan that holds a record and is used by one has the key twice."""
    plan = "plan_format: 1\nkind: plan\ndevices: {PK-1: {}}\nfound: {PK-1: {label: A}}\n"
    record = "plan_format: 1\nkind: as-set\nuses: [plan.yaml]\nfound: {PK-1: {label: B}}\n"
    root = lay(tmp_path, **{"plan.yaml": plan, "record.yaml": record})
    twice = [item for item in judge(root, "record.yaml").findings if item.rule == "key-twice"]
    assert [(item.place.file, item.place.pointer) for item in twice] == [("plan.yaml", "/found")]


def test_a_waiver_of_a_record_rule_is_not_called_unused_without_the_record(tmp_path: Path) -> None:
    waiver = (
        "waivers: [{rule: ends-differ-carrier, covers: [PK-S], because: the spare is repaired on Monday, "
        "by: monitor engineer}]\n"
    )
    root = lay(tmp_path, **{"venues/a.yaml": FILES["venues/a.yaml"] + waiver})
    assert "waiver-unused" not in {rule for rule, _, _ in found(judge(root, "venues"))}
    waived = [item for item in judge(root, ".").findings if item.rule == "ends-differ-carrier"]
    assert [item.waived is not None for item in waived] == [True]
