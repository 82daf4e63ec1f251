"""`planlint check --minutes` and `planlint weak-spots` from outside."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from planlint.schema import store
from tests.cli.command import planlint

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14, 17]}
people: {vox: {}, gtr: {}}
models:
  tx: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
  pk: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
devices: {T1: {model: tx, into: none}, T2: {model: tx, into: none}, P1: {model: pk}, P2: {model: pk}}
racks: {A: {holds: [T1, T2]}}
links:
  ear-1: {kind: ear, tx: T1, packs: {P1: {person: vox}}, carrier_mhz: 490.500}
  ear-2: {kind: ear, tx: T2, packs: {P2: {person: gtr}}, carrier_mhz: 505.000}
spares_mhz: {ear: [515.000]}
cautions: []
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "plan.yaml").write_text(PLAN)
    return tmp_path


def test_json_says_where_how_long_and_what_fits(folder: Path) -> None:
    done = planlint("check", "plan.yaml", "--format", "json", "--minutes", "3", "--hands", "1", cwd=folder)
    assert done.returncode == 1, done.stderr
    found = json.loads(done.stdout)
    jsonschema.Draft202012Validator(store.schema("findings")).validate(found)
    first = found["findings"][0]
    assert (first["rule"], first["harm"], first["effort_min"]) == ("occupied-tv-channel", "law", 3)
    assert first["where"] == [{"kind": "rack", "id": "A"}, {"kind": "person", "id": "vox"}]
    triage = found["triage"]
    assert (triage["touches_room"], triage["min_per_touch"]) == (2, 1.5)
    assert triage["do"][0] == {"finding": 0, "where": first["where"], "units": ["T1", "P1"], "entries": []}
    plain = json.loads(planlint("check", "plan.yaml", "--format", "json", cwd=folder).stdout)
    assert plain["triage"] is None
    assert plain["findings"] == found["findings"]


def test_text_is_in_order_and_honest_about_the_estimate(folder: Path) -> None:
    done = planlint("check", "plan.yaml", "--minutes", "3", "--hands", "1", cwd=folder)
    assert done.returncode == 1
    assert done.stdout.index("1. rack A, vox · 3 min at T1, P1") < done.stdout.index(
        "No unit to touch, so not in the minutes:"
    )
    assert "An estimate: walking" in done.stdout
    assert "default, common practice, no source" in done.stdout
    none = planlint("check", "plan.yaml", "--minutes", "1", cwd=folder).stdout
    assert "Nothing that touches a unit fits." in none
    assert "Leave: it does not fit:" in none


def test_wrong_use(folder: Path) -> None:
    alone = planlint("check", "plan.yaml", "--hands", "2", cwd=folder)
    assert (alone.returncode, alone.stdout) == (2, "")
    assert "--minutes" in alone.stderr
    (folder / "other.yaml").write_text(PLAN.replace("show: {", 'show: {date: "2027-01-02", '))
    two = planlint("check", ".", "--minutes", "10", cwd=folder)
    assert two.returncode == 2
    assert "one show; name one of other.yaml, plan.yaml" in two.stderr


def test_weak_spots(folder: Path) -> None:
    done = planlint("weak-spots", "plan.yaml", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert "TV 19: gtr hears nothing (ear-2): spare carrier 515.000, 2 to enter again, about 3 min" in done.stdout
    assert "transmitter T1: vox hears nothing (ear-1): no spare" in done.stdout
    found = json.loads(planlint("weak-spots", "plan.yaml", "--format", "json", cwd=folder).stdout)
    channel = next(spot for spot in found["weak_spots"] if spot["kind"] == "tv-channel")
    assert (channel["id"], channel["lost"], channel["stranded"]) == ("19", ["gtr"], [])
    assert channel["quiet"][0]["saved_by"] == {
        "kind": "carrier", "id": "ear-2", "link": "ear-2", "carrier_mhz": "515.000", "touches": 2,
    }  # fmt: skip
    lost = planlint("weak-spots", "missing.yaml", cwd=folder)
    assert (lost.returncode, lost.stdout) == (2, "")


def test_weak_spots_say_where_not_all_was_tried(tmp_path: Path) -> None:
    links = "".join(
        f"  e{at}: {{kind: ear, tx: T{at}, packs: {{P{at}: {{}}}}, carrier_mhz: {494 + at / 2 + at * at / 20:.3f}}}\n"
        for at in range(6)
    )
    devices = ", ".join(f"T{at}: {{model: tx}}, P{at}: {{model: pk}}" for at in range(6))
    start = PLAN[: PLAN.index("people")]
    models = PLAN[PLAN.index("models") : PLAN.index("devices")]
    spares = ", ".join(f"{515 + at / 20:.3f}" for at in range(8))  # each too near to every other
    plan = f"{start}{models}devices: {{{devices}}}\nlinks:\n{links}spares_mhz: {{ear: [{spares}]}}\n"
    (tmp_path / "plan.yaml").write_text(plan, "utf-8")
    found = json.loads(planlint("weak-spots", "plan.yaml", "--format", "json", cwd=tmp_path).stdout)
    cut = [spot["id"] for spot in found["weak_spots"] if spot["unfinished"]]
    assert cut == ["18"]
    said = planlint("weak-spots", "plan.yaml", cwd=tmp_path).stdout
    assert "(the first 100 were): TV 18. More people may be brought back." in " ".join(said.split())
