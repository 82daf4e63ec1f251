"""`planlint assign` as its users run it: nothing written unless asked, what it proposes `check` accepts, exit codes."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.cli.command import planlint

ROOT = Path(__file__).resolve().parents[2]
SHOWS = ("services/2027-09-05-sunday.yaml", "services/2027-09-08-school-hall.yaml")
CARRIER_RULES = {
    "occupied-tv-channel", "tv-edge-guard", "spacing-too-close", "same-carrier-twice", "others-on-air-collision",
    "carrier-off-step", "carrier-out-of-tuning", "ears-near-mics-band", "intermod-two-signal-third",
    "intermod-three-signal-third", "intermod-two-signal-fifth",
}  # fmt: skip


@pytest.fixture
def church(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "tests/examples/willow-court-broken", tmp_path / "church")
    return tmp_path / "church"


def _json(text: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(text)
    jsonschema.validate(document, json.loads((ROOT / "schemas/assign.schema.json").read_text("utf-8")))
    if document["diff"] is not None:
        jsonschema.validate(document["diff"], json.loads((ROOT / "schemas/diff.schema.json").read_text("utf-8")))
    return document


def _faults(church: Path, show: str) -> set[tuple[str, tuple[str, ...]]]:
    found = json.loads(planlint("check", show, "--root", church, "--format", "json", cwd=church).stdout)
    return {
        (finding["rule"], tuple(finding["subjects"]))
        for finding in found["findings"]
        if finding["plan"] == show and finding["severity"] != "note" and finding["waived"] is None
    }


@pytest.mark.parametrize("show", SHOWS)
def test_what_it_writes_check_accepts(church: Path, show: str) -> None:
    before, text = _faults(church, show), (church / show).read_text("utf-8")
    shown = planlint("assign", show, "--root", church, "--format", "json", cwd=church)
    assert shown.returncode == 1, shown.stderr
    assert (church / show).read_text("utf-8") == text
    assert _json(shown.stdout)["written"] is None
    written = planlint("assign", show, "--root", church, "--format", "json", "--write", cwd=church)
    assert written.returncode == 0, written.stderr
    document = _json(written.stdout)
    assert document["written"] == show
    assert document["moves"] == _json(shown.stdout)["moves"]
    assert document["diff"] == _json(shown.stdout)["diff"]
    changed = {change["pointer"].split("/")[2] for change in document["diff"]["changes"]}
    assert changed == {move["link"] for move in document["moves"]}
    touched = {touch["unit"] for move in document["moves"] for touch in move["touch"]}
    assert set(document["diff"]["touch"]) == touched
    after = _faults(church, show)
    moved = {move["link"] for move in document["moves"]}
    said = {(one["rule"], tuple(one["subjects"])) for one in document["besides"]}
    assert {fault for fault in after - before if moved & set(fault[1])} <= said
    assert {fault for fault in after if fault[0] in CARRIER_RULES} == set()
    assert {fault for fault in before if fault[0] in CARRIER_RULES} != set()
    comments = [line for line in text.splitlines() if line.lstrip().startswith("#")]
    assert comments == [
        line for line in (church / show).read_text("utf-8").splitlines() if line.lstrip().startswith("#")
    ]
    again = planlint("assign", show, "--root", church, cwd=church)
    assert again.returncode == 0
    assert "nothing to propose" in again.stdout


def test_text_names_both_ends_and_claims_nothing(church: Path) -> None:
    shown = planlint("assign", SHOWS[0], "--root", church, cwd=church)
    for words in (
        "ear-2  516.300 ->",
        "WORK LIST",
        'T-2 "SINGERS": carrier 516.300',
        'P-1 "LEADER": list: ear-2',
        "Ears out or packs at minimum",
        "--write",
    ):
        assert words in shown.stdout
    for word in (" safe", "legal", "compliant", " OK"):
        assert word not in shown.stdout


def test_nothing_fits_and_no_partial_answer(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(
        "plan_format: 1\nkind: plan\nshow: {region: us}\n"
        "models: {t: {role: ear-transmitter, tuning_mhz: [{low: 500.000, high: 500.300}], step_khz: 25}}\n"
        "devices: {A: {model: t}, B: {model: t}}\n"
        "links:\n  a: {kind: ear, tx: A, carrier_mhz: auto}\n  b: {kind: ear, tx: B, carrier_mhz: auto}\n",
        "utf-8",
    )
    shown = planlint("assign", "p.yaml", "--root", tmp_path, "--write", "--format", "json", cwd=tmp_path)
    assert shown.returncode == 1
    document = _json(shown.stdout)
    assert (document["moves"], document["unfit"]) == ([], ["a", "b"])
    assert document["give_up"] == [{"what": "policy.spacing_khz.ear_to_ear", "now": "400 kHz", "then": "300 kHz"}]
    assert document["without"] in (["a"], ["b"])
    assert "auto" in (tmp_path / "p.yaml").read_text("utf-8")


def test_wrong_use(tmp_path: Path) -> None:
    assert planlint("assign", "none.yaml", cwd=tmp_path).returncode == 2
