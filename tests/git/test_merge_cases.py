"""`git merge` in real repositories: what becomes of two branches, case by case.

The result is read by PyYAML, which knows nothing of plans.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal, NamedTuple

import pytest
import yaml
from ruamel.yaml import YAML

from tests.cli.command import planlint
from tests.diff.shows import TOUR, VENUE, lay_out, replaced
from tests.git import repository

SHOW, TEAM = "venues/a.yaml", "tour.yaml"
Edits = dict[str, str]


class Case(NamedTuple):
    """Two branches: edits of the text, how the merge must end, and what must stand where.

    `clean`: merged. `conflict`: both sides' lines stand between markers. `stop`: merged, but git waits since the sum
    is dirty.
    """

    ours: Edits
    theirs: Edits
    ends: Literal["clean", "conflict", "stop"]
    expects: dict[str, Any]
    file: str = SHOW
    base: Mapping[str, str] = {}


DAY = '  - {what: packs on, at: "15:00"}\n'
SHOW_LINE = '  - {what: show, at: "20:00", until: "22:00", on_air: all}\n'
EAR_2 = "  ear-2: {carrier_mhz: 503.300, power_mw: 9}\n"
LAST = "  mic-1: {carrier_mhz: 570.000, power_mw: 16}\n"
WAIVER = "waivers:\n  - {rule: device-unused, covers: [RX-1], because: kept as a spare, by: crew}\n"
CAUTION = "cautions:\n  - {about: hearing, say: Start low.}\n"
ANTENNA = "antennas:\n  one: {for: ear, gain_dbi: 3}\n"
CASES: dict[str, Case] = {
    "carriers of two links far apart": Case(
        {"501.000": "509.000"}, {"570.000": "571.000"}, "clean",
        {"carriers/ear-1/carrier_mhz": 509.0, "carriers/mic-1/carrier_mhz": 571.0},
    ),
    "carriers on neighbouring lines": Case(
        {"501.000": "509.000"}, {"503.300": "511.300"}, "clean",
        {"carriers/ear-1/carrier_mhz": 509.0, "carriers/ear-2/carrier_mhz": 511.3},
    ),
    "carrier and power on one line": Case(
        {"503.300": "511.300"}, {"503.300, power_mw: 9": "503.300, power_mw: 3"}, "clean",
        {"carriers/ear-2": {"carrier_mhz": 511.3, "power_mw": 3}},
    ),
    "the same on both sides": Case({"503.300": "511.300"}, {"503.300": "511.300"}, "clean", {"carriers/ear-2/carrier_mhz": 511.3}),
    "the same number written differently": Case({"503.300": "511.3"}, {"503.300": "511.300"}, "clean", {"carriers/ear-2/carrier_mhz": 511.3}),
    "one carrier moved to two places": Case({"503.300": "511.300"}, {"503.300": "509.300"}, "conflict", {"carriers/ear-2/carrier_mhz": (511.3, 509.3)}),
    "a conflict and a clean change": Case(
        {"503.300": "511.300", "[15, 16]": "[15, 16, 36]"}, {"503.300": "509.300", "16}": "4}"}, "conflict",
        {"carriers/ear-2/carrier_mhz": (511.3, 509.3), "spectrum/tv_occupied": [15, 16, 36], "carriers/mic-1/power_mw": 4},
    ),
    "two links added at one place": Case(
        {LAST: f"{LAST}  ear-7: {{unused: no guests}}\n"}, {LAST: f"{LAST}  ear-8: {{unused: no guests}}\n"}, "clean",
        {"carriers/ear-7": {"unused": "no guests"}, "carriers/ear-8": {"unused": "no guests"}},
    ),
    "one link added alike by both": Case(
        {LAST: f"{LAST}  ear-7: {{unused: no guests}}\n"}, {LAST: f"  ear-7: {{unused: no guests}}\n{LAST}"}, "clean",
        {"carriers/ear-7": {"unused": "no guests"}},
    ),
    "one link added differently by both": Case(
        {LAST: f"{LAST}  ear-7: {{unused: no guests}}\n"}, {LAST: f"{LAST}  ear-7: {{unused: not tonight}}\n"}, "conflict",
        {"carriers/ear-7/unused": ("no guests", "not tonight")},
    ),
    "a link taken out by one side": Case({LAST: ""}, {"503.300": "511.300"}, "clean", {"carriers/mic-1": None, "carriers/ear-2/carrier_mhz": 511.3}),
    "a link taken out by ours and moved by theirs": Case({LAST: ""}, {"570.000": "571.000"}, "conflict", {"carriers/mic-1": (None, {"carrier_mhz": 571.0, "power_mw": 16})}),
    "a link moved by ours and taken out by theirs": Case({"570.000": "571.000"}, {LAST: ""}, "conflict", {"carriers/mic-1": ({"carrier_mhz": 571.0, "power_mw": 16}, None)}),
    "a link taken out by both": Case({LAST: ""}, {LAST: ""}, "clean", {"carriers/mic-1": None}),
    "TV channels added by both": Case({"[15, 16]": "[15, 16, 36]"}, {"[15, 16]": "[14, 15, 16]"}, "clean", {"spectrum/tv_occupied": {14, 15, 16, 36}}),
    "a TV channel added and another taken out": Case({"[15, 16]": "[16]"}, {"[15, 16]": "[15, 16, 36]"}, "clean", {"spectrum/tv_occupied": {16, 36}}),
    "the same TV channel added by both": Case({"[15, 16]": "[15, 16, 36]"}, {"[15, 16]": "[36, 15, 16]"}, "clean", {"spectrum/tv_occupied": {15, 16, 36}}),
    "two entries of the day added": Case(
        {DAY: f'{DAY}  - {{what: doors, at: "19:00"}}\n'}, {DAY: f'{DAY}  - {{what: sound check, at: "16:00"}}\n'}, "clean",
        {"day": ["packs on", "sound check", "doors", "show"]},
    ),
    "an entry of the day moved and another added": Case(
        {'at: "15:00"': 'at: "15:30"'}, {SHOW_LINE: f'  - {{what: doors, at: "19:00"}}\n{SHOW_LINE}'}, "clean",
        {"day": ["packs on", "doors", "show"]},
    ),
    "an entry of the day moved to two times": Case({'at: "15:00"': 'at: "15:30"'}, {'at: "15:00"': 'at: "14:30"'}, "conflict", {"day/0/at": ("15:30", "14:30")}),
    "two waivers added": Case(
        {"day:": WAIVER + "day:"}, {"day:": WAIVER.replace("RX-1", "HH-1") + "day:"}, "clean", {"waivers": {"RX-1", "HH-1"}},
    ),
    "one waiver with two reasons": Case(
        {"kept as a spare": "kept for the guests"}, {"kept as a spare": "kept for the press"}, "conflict",
        {"waivers/0/because": ("kept for the guests", "kept for the press")}, base={"day:": WAIVER + "day:"},
    ),
    "two cautions added": Case(
        {CAUTION: f"{CAUTION}  - {{about: scan, say: All off.}}\n"}, {CAUTION: f"{CAUTION}  - {{about: retune, say: Ears out.}}\n"}, "clean",
        {"cautions": {"hearing", "scan", "retune"}}, base={"day:": CAUTION + "day:"},
    ),
    "a comment by ours, a value by theirs": Case(
        {"[15, 16]}": "[15, 16]}   # asked twice"}, {"[15, 16]": "[15, 16, 36]"}, "clean",
        {"spectrum/tv_occupied": [15, 16, 36], "#": "# asked twice"},
    ),
    "lines in another order, a value by theirs": Case(
        {EAR_2: "", LAST: LAST + EAR_2}, {"503.300": "511.300"}, "clean", {"carriers/ear-2/carrier_mhz": 511.3},
    ),
    "another layout, a key by theirs": Case(
        {EAR_2: "  ear-2:\n    carrier_mhz: 503.300\n    power_mw: 9\n"}, {"503.300, power_mw: 9": "503.300, power_mw: 9, pinned: by the house"},
        "clean", {"carriers/ear-2": {"carrier_mhz": 503.3, "power_mw": 9, "pinned": "by the house"}},
    ),
    "two antennas added": Case(
        {"  one": "  two: {for: mic}\n  one"}, {"  one": "  six: {for: mic}\n  one"}, "clean",
        {"antennas": {"one": {"for": "ear", "gain_dbi": 3}, "two": {"for": "mic"}, "six": {"for": "mic"}}}, base={"day:": ANTENNA + "day:"},
    ),
    "a section taken out by ours, changed by theirs": Case(
        {ANTENNA: ""}, {"gain_dbi: 3": "gain_dbi: 5"}, "conflict", {"antennas": (None, {"one": {"for": "ear", "gain_dbi": 5}})}, base={"day:": ANTENNA + "day:"},
    ),
    "two orders of spares": Case(
        {"[509.000]": "[509.000, 511.000]"}, {"[509.000]": "[513.000, 509.000]"}, "conflict",
        {"spares_mhz/ear": ([509.0, 511.0], [513.0, 509.0])}, base={"day:": "spares_mhz: {ear: [509.000]}\nday:"},
    ),
    "a link renamed by ours, its pack set by theirs": Case(
        {"ear-2": "ear-gtr"}, {"PK-2: {person: gtr}": "PK-2: {person: gtr, gain_db: -3}"}, "clean",
        {"links/ear-gtr/packs/PK-2": {"person": "gtr", "gain_db": -3}, "links/ear-2": None, "links/ear-10/packs/PK-10/listens_to": ["ear-1", "ear-gtr"]},
        file=TEAM,
    ),
    "a link renamed by theirs, mentioned by ours": Case(
        {"PK-2: {person: gtr}": "PK-2: {person: gtr, listens_to: [ear-2]}"}, {"ear-2": "ear-gtr"}, "clean",
        {"links/ear-gtr/packs/PK-2/listens_to": ["ear-gtr"]}, file=TEAM,
    ),
    "one device renamed to two names": Case({"TX-2": "TX-G"}, {"TX-2": "SEND-2"}, "conflict", {}, file=TEAM),
    "the house setting by ours, a pack's own by theirs": Case(
        {"limiter_db: -18": "limiter_db: -20"}, {"PK-1: {person: vox}": "PK-1: {person: vox, limiter_db: -24}"}, "clean",
        {"pack_defaults/limiter_db": -20, "links/ear-1/packs/PK-1/limiter_db": -24}, file=TEAM,
    ),
    "clean alone, too close together": Case(
        {"501.000": "511.000"}, {"503.300": "511.100"}, "stop", {"carriers/ear-1/carrier_mhz": 511.0, "carriers/ear-2/carrier_mhz": 511.1},
    ),
}  # fmt: skip


@pytest.fixture(name="template", scope="module")
def _template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = repository.new(tmp_path_factory.mktemp("template"))
    lay_out(folder)
    done = planlint("git-setup", cwd=folder, env=repository.ENV)
    assert done.returncode == 0, done.stderr
    return folder


def merged(case: Case, template: Path, folder: Path) -> tuple[Path, Any]:
    shutil.copytree(template, folder)
    file = folder / case.file
    start = replaced(file.read_text("utf-8"), case.base)
    file.write_text(start, "utf-8")
    repository.commit(folder)
    for branch, edits in (("theirs", case.theirs), ("main", case.ours)):
        repository.run(folder, "checkout", "-q", *(["-b"] if branch == "theirs" else []), branch)
        file.write_text(replaced(start, edits), "utf-8")
        repository.commit(folder)
    return file, repository.run(folder, "merge", "-q", "--no-edit", "theirs", fail=True)


@pytest.mark.parametrize("name", CASES)
def test_case(name: str, template: Path, tmp_path: Path) -> None:
    case = CASES[name]
    file, done = merged(case, template, tmp_path / "repository")
    text = file.read_text("utf-8")
    assert (done.returncode == 0) == (case.ends == "clean"), (done.stdout, done.stderr, text)
    if case.ends == "conflict":
        assert "both sides changed" in done.stderr
        for side in (0, 1):
            for path, value in case.expects.items():
                decided = yaml.safe_load(resolved(text, side))
                holds(decided, path, value[side] if isinstance(value, tuple) else value)
        return
    assert "<<<" not in text
    YAML(typ="safe").load(text)  # ruamel.yaml refuses a key that stands twice
    assert text.count("\n") >= 5
    for path, value in case.expects.items():
        if path == "#":
            assert value in text
        else:
            holds(yaml.safe_load(text), path, value)
    if case.ends == "stop":
        assert "each side alone did not bring this" in done.stderr
        assert "spacing-too-close" in done.stderr
        assert "U" in repository.run(file.parent, "status", "--porcelain").stdout


def test_there_are_thirty_cases_and_more() -> None:
    assert len(CASES) >= 30


def resolved(text: str, side: int) -> str:
    return re.sub(
        r"^<{7} ours\n(.*?)^={7}\n(.*?)^>{7} theirs\n",
        lambda found: found[side + 1],
        text,
        flags=re.DOTALL | re.MULTILINE,
    )


def holds(plan: Any, path: str, value: Any) -> None:
    node = plan
    for part in path.split("/"):
        node = node[int(part)] if isinstance(node, list) else (node or {}).get(part)
    if path == "day":
        node = [entry["what"] for entry in node]
    if isinstance(value, set):
        node = {item if not isinstance(item, dict) else item.get("about") or item["covers"][0] for item in node}
    assert node == value, path


def test_a_conflict_is_marked_at_its_line_alone(template: Path, tmp_path: Path) -> None:
    file, _ = merged(CASES["a conflict and a clean change"], template, tmp_path / "repository")
    expected = replaced(VENUE, {
        "[15, 16]": "[15, 16, 36]", "16}": "4}",
        EAR_2: "<<<<<<< ours\n  ear-2: {carrier_mhz: 511.300, power_mw: 9}\n=======\n"
        "  ear-2: {carrier_mhz: 509.300, power_mw: 9}\n>>>>>>> theirs\n",
    })  # fmt: skip
    assert file.read_text("utf-8") == expected


def test_both_sides_added_the_file(template: Path, tmp_path: Path) -> None:
    folder = tmp_path / "repository"
    shutil.copytree(template, folder)
    repository.commit(folder)
    for branch, old, new in (("theirs", "503.300", "511.300"), ("main", "x", "x")):
        repository.run(folder, "checkout", "-q", *(["-b"] if branch == "theirs" else []), branch)
        text = VENUE.replace(old, new) if branch == "theirs" else VENUE.replace(LAST, "")
        (folder / "venues/b.yaml").write_text(text, "utf-8")
        repository.commit(folder)
    done = repository.run(folder, "merge", "--no-edit", "theirs", fail=True)
    text = (folder / "venues/b.yaml").read_text("utf-8")
    assert done.returncode == 1
    for side, carrier in ((0, 503.3), (1, 511.3)):
        decided = yaml.safe_load(resolved(text, side))
        assert decided["carriers"]["ear-2"]["carrier_mhz"] == carrier
        assert decided["carriers"]["mic-1"]["carrier_mhz"] == 570.0  # only theirs has it, and it stays


def test_files_that_do_not_meet_are_checked_after_the_merge(template: Path, tmp_path: Path) -> None:
    """The tour asks for more room on one branch, the venue moves a carrier on the other: git asks no driver."""
    folder = tmp_path / "repository"
    shutil.copytree(template, folder)
    repository.commit(folder)
    repository.run(folder, "checkout", "-q", "-b", "theirs")
    (folder / TEAM).write_text(TOUR.replace("{hands_min_per_unit: 2}", "{spacing_khz: {ear_to_ear: 1200}}"), "utf-8")
    repository.commit(folder)
    repository.run(folder, "checkout", "-q", "main")
    (folder / SHOW).write_text(VENUE.replace("503.300", "502.000"), "utf-8")
    repository.commit(folder)
    done = repository.run(folder, "merge", "--no-edit", "theirs")
    assert "merged they do" in done.stderr
    assert "spacing-too-close" in done.stderr


def test_a_file_that_is_no_plan_is_merged_by_lines(template: Path, tmp_path: Path) -> None:
    folder = tmp_path / "repository"
    shutil.copytree(template, folder)
    notes = folder / "notes.yaml"
    notes.write_text("a: 1\nb: 2\nc: 3\nd: 4\ne: 5\n", "utf-8")
    repository.commit(folder)
    for branch, old, new in (("theirs", "e: 5", "e: 6"), ("main", "a: 1", "a: 0")):
        repository.run(folder, "checkout", "-q", *(["-b"] if branch == "theirs" else []), branch)
        notes.write_text(notes.read_text("utf-8").replace(old, new), "utf-8")
        repository.commit(folder)
    repository.run(folder, "merge", "--no-edit", "theirs")
    assert notes.read_text("utf-8") == "a: 0\nb: 2\nc: 3\nd: 4\ne: 6\n"


def test_lines_that_end_as_windows_ends_them_stay_so(template: Path, tmp_path: Path) -> None:
    folder = tmp_path / "repository"
    shutil.copytree(template, folder)
    (folder / SHOW).write_text(VENUE, "utf-8", newline="\r\n")
    repository.commit(folder)
    for branch, old, new in (("theirs", "501.000", "509.000"), ("main", "503.300", "511.300")):
        repository.run(folder, "checkout", "-q", *(["-b"] if branch == "theirs" else []), branch)
        (folder / SHOW).write_text(VENUE.replace(old, new), "utf-8", newline="\r\n")
        repository.commit(folder)
    repository.run(folder, "merge", "--no-edit", "theirs")
    expected = VENUE.replace("501.000", "509.000").replace("503.300", "511.300").replace("\n", "\r\n")
    assert (folder / SHOW).read_bytes() == expected.encode()
