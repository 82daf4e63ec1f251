"""`spares`, `why`, `what-if` and `move` as their users run them; what one says the others and `check` bear out."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.cli.command import planlint

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [19, 20, 22]}
models:
  t: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 530.000}], step_khz: 25, emission_khz: 200}
  p: {role: ear-pack, tuning_mhz: [{low: 488.000, high: 530.000}], step_khz: 25}
devices: {TA: {model: t}, TB: {model: t}, PA: {model: p}, PB: {model: p}}
people: {vox: {does: sings}}
links:
  a: {kind: ear, tx: TA, packs: {PA: {person: vox}}, carrier_mhz: 489.000}
  b: {kind: ear, tx: TB, packs: {PB: {listens_to: [a]}}, carrier_mhz: 491.300}
spares_mhz: {ear: [480.000, 491.400, 494.500]}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "p.yaml").write_text(PLAN, "utf-8")
    return tmp_path


def _ask(folder: Path, *words: str, code: int = 0) -> dict[str, Any]:
    found = planlint(*words, "--root", folder, "--format", "json", cwd=folder)
    assert found.returncode == code, found.stderr
    document: dict[str, Any] = json.loads(found.stdout)
    assert document["format"] == 1
    assert (folder / "p.yaml").read_text("utf-8") == PLAN
    return document


def test_spares_bear_out_with_check(folder: Path) -> None:
    found = _ask(folder, "spares", "p.yaml", "--kind", "ear", "--count", "5")
    carriers = [one["carrier_hz"] for one in found["carriers"]]
    assert len(set(carriers)) == 5
    assert all(isinstance(carrier, int) for carrier in carriers)
    written = ", ".join(f"{Decimal(carrier) / 1_000_000:.3f}" for carrier in carriers)
    (folder / "with").mkdir()
    text = PLAN.replace("480.000, 491.400, 494.500", written)
    (folder / "with/p.yaml").write_text(text, "utf-8")
    checked = json.loads(
        planlint("check", "p.yaml", "--root", folder / "with", "--format", "json", cwd=folder / "with").stdout
    )
    rules = {finding["rule"] for finding in checked["findings"]}
    assert not rules & {"spare-breaks-plan", "spare-not-tunable"}
    as_links = "".join(
        f"  s{index}: {{kind: ear, carrier_mhz: {word}}}\n" for index, word in enumerate(written.split(", "))
    )
    (folder / "with/p.yaml").write_text(
        PLAN.replace("spares_mhz", as_links + "spares_mhz").replace("491.400, ", ""), "utf-8"
    )
    checked = json.loads(
        planlint("check", "p.yaml", "--root", folder / "with", "--format", "json", cwd=folder / "with").stdout
    )
    rules = {finding["rule"] for finding in checked["findings"]}
    assert not {rule for rule in rules if rule.startswith(("intermod", "spacing", "same-carrier", "tv-", "occupied"))}


def test_more_spares_than_fit_is_said(folder: Path) -> None:
    found = planlint(
        "spares", "p.yaml", "--kind", "ear", "--count", "300", "--seconds", "3", "--root", folder, cwd=folder
    )
    assert found.returncode == 1
    assert "No more than" in found.stdout
    assert "it is not proven either way" in found.stdout


def test_why(folder: Path) -> None:
    # 502.000 lies in TV 19, 500-506 MHz (47 CFR 73.603(a)); b at 491.300 and its own step are no matter there
    (one,) = _ask(folder, "why", "p.yaml", "502.000", "--link", "a", code=1)["links"]
    assert [reason["rule"] for reason in one["reasons"]] == ["occupied-tv-channel"]
    assert one["below_hz"] == 499_800_000  # 500 - guard 100 kHz - half of 200 kHz
    assert one["above_hz"] == 512_200_000  # 512 + the same
    (near,) = _ask(folder, "why", "p.yaml", "491.000", "--link", "a", code=1)["links"]
    assert [(clash["ids"], clash["offset_khz"], clash["limit_khz"]) for clash in near["clashes"]] == [
        (["a", "b"], 300, 400)
    ]
    assert near["margin_khz"] == -100
    assert (near["below_hz"], near["above_hz"]) == (490_900_000, 491_700_000)
    (fine,) = _ask(folder, "why", "p.yaml", "490.900", "--link", "a")["links"]
    assert fine["passes"]


def test_why_gives_the_whole_sum(folder: Path) -> None:
    (one,) = _ask(folder, "why", "p.yaml", "490.900", "--link", "a")["links"]
    assert one["emission_hz"] == {"low": 490_800_000, "high": 491_000_000}
    assert one["units"] == [{"unit": unit, "tunes": True} for unit in ("TA", "PA", "PB")]
    assert one["tv"] == [{"channel": 19, "side": "above", "gap_khz": 9_000}]  # 500-506 MHz: 47 CFR 73.603(a)
    assert one["floor"] is None
    assert {(row["low_hz"], row["high_hz"]) for row in one["law"]} == {(470_000_000, 608_000_000)}
    b = {"id": "b", "carrier_hz": 491_300_000, "side": "above", "gap_khz": 400, "limit_khz": 400}
    assert one["neighbours"] == [b]
    assert one["nearest"]["ids"] == ["a", "b"]
    assert one["margin_khz"] == 0
    text = planlint("why", "p.yaml", "490.900", "--link", "a", "--root", folder, cwd=folder).stdout
    titles = [line[4:16].strip() for line in text.splitlines() if line.startswith("    ")]
    assert [title for title in titles if title] == [
        "units", "law", "TV", "floor", "neighbours", "relations", "margin", "pass",
    ]  # fmt: skip
    assert "not checked: no scan is written" in text
    lines = planlint("why", "p.yaml", "490.900", "--root", folder, cwd=folder).stdout
    assert "  a: nothing found against it, 0 kHz past the nearest limit\n" in lines
    assert "  b: nothing found against it" in lines


def test_what_if(folder: Path) -> None:
    found = _ask(folder, "what-if", "p.yaml", "--add", "489.150", code=1)
    assert ("others-on-air-collision", ["a", "added-489.15"]) in [
        (one["rule"], one["subjects"]) for one in found["new"]
    ]
    without = _ask(folder, "what-if", "p.yaml", "--add", "489.150", "--off", "a")
    assert not [one for one in without["new"] if one["severity"] == "error"]
    assert found["add"][0]["width_khz"] == 200  # unwritten: the format's documented default
    assert found["least_margin"] == {
        "before": {"link": "a", "margin_khz": 1_900},  # 2300 kHz apart, and like kinds keep 400
        "after": {"link": "a", "margin_khz": -50},  # 150 kHz apart, and strangers keep half of both emissions
    }
    assert without["to_minimum"] == ["PA", "PB"]
    assert found["to_minimum"] == []
    assert "To minimum" not in planlint("what-if", "p.yaml", "--add", "489.150", "--root", folder, cwd=folder).stdout


def test_move_takes_the_first_spare_that_passes(folder: Path) -> None:
    found = _ask(folder, "move", "p.yaml", "a")
    assert found["carrier_hz"] == 494_500_000
    assert found["spare"]
    assert [one["carrier_hz"] for one in found["passed_over"]] == [480_000_000, 491_400_000]
    steps = found["steps"]
    assert "minimum volume" in steps[0]
    assert steps.index("TA: set 494.500") > steps.index("PA (person vox): set 494.500, volume still at minimum")
    assert any(step.startswith("PB") and "list entry of a" in step for step in steps)
    assert "PA, PB" in steps[0]
    assert steps.index("TA: set 494.500") > next(at for at, step in enumerate(steps) if "nothing may show" in step)
    assert steps[-1].startswith("Listen on a spare pack first, at minimum")
    assert found["minutes"] == 1.5 * len(found["touch"]) == 4.5  # the default a touch: common practice, no source


def test_move_passes_over_what_a_rule_speaks_against(tmp_path: Path) -> None:
    # 490.6 comes nearer to b's 491.3 than twice the spacing, in a combiner of 20 dB; 497.0 does not
    plan = PLAN.replace(
        "TA: {model: t}, TB: {model: t},", "TA: {model: t, into: C}, TB: {model: t, into: C}, C: {model: c},"
    )
    plan = plan.replace(
        "models:\n", "models:\n  c: {role: combiner, active: false, ways: 2, loss_db: 3.5, isolation_db: 20}\n"
    )
    plan = plan.replace("[480.000, 491.400, 494.500]", "[490.600, 497.000]")
    (tmp_path / "p.yaml").write_text(plan, "utf-8")
    done = planlint("move", "p.yaml", "a", "--root", tmp_path, "--format", "json", cwd=tmp_path)
    found = json.loads(done.stdout)
    assert done.returncode == 0
    assert found["carrier_hz"] == 497_000_000
    assert found["passed_over"] == [{"carrier_hz": 490_600_000, "why": "combiner-close-pair would speak"}]
    (tmp_path / "p.yaml").write_text(
        plan.replace(", 497.000]", "]").replace("530.000", "490.900").replace("488.000", "490.600"), "utf-8"
    )
    only = planlint("move", "p.yaml", "a", "--root", tmp_path, "--format", "json", cwd=tmp_path)
    assert only.returncode == 1
    assert [one["rule"] for one in json.loads(only.stdout)["brings"]] == ["combiner-close-pair"]
    text = planlint("move", "p.yaml", "a", "--root", tmp_path, cwd=tmp_path).stdout
    assert "every way out brings a finding; this one:" in text


def test_move_says_what_closes_all(tmp_path: Path) -> None:
    # 500-506 MHz is TV 19 (47 CFR 73.603(a)); b's 499.9 leaves nothing below it
    plan = PLAN.replace("low: 488.000, high: 530.000", "low: 499.800, high: 501.000").replace("491.300", "499.900")
    (tmp_path / "p.yaml").write_text(plan, "utf-8")
    done = planlint("move", "p.yaml", "a", "--root", tmp_path, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (1, "")
    assert "Its units tune 49; closed: occupied-tv-channel 44, tv-edge-guard 4; 1 are left" in done.stderr
    apart = PLAN.replace("{low: 478.000, high: 530.000}", "{low: 478.000, high: 480.000}")
    (tmp_path / "p.yaml").write_text(apart, "utf-8")
    done = planlint("move", "p.yaml", "a", "--root", tmp_path, cwd=tmp_path)
    assert "its units have none in common" in done.stderr


def test_move_minds_what_is_pinned(tmp_path: Path) -> None:
    carriers = "carriers: {a: {carrier_mhz: 489.000, pinned: the licence names it}}\n"
    (tmp_path / "p.yaml").write_text(PLAN.replace(", carrier_mhz: 489.000", "") + carriers, "utf-8")
    done = planlint("move", "p.yaml", "a", "--root", tmp_path, "--format", "json", cwd=tmp_path)
    assert json.loads(done.stdout)["notes"] == ["a is pinned: the licence names it"]


def test_spares_of_two_kinds_can_be_used_together(tmp_path: Path) -> None:
    plan = PLAN.replace("{ear: [480.000, 491.400, 494.500]}", "{mic: [502.300]}").replace("[19, 20, 22]", "[]")
    (tmp_path / "p.yaml").write_text(plan.replace("high: 530.000", "high: 503.000"), "utf-8")
    done = planlint("spares", "p.yaml", "--kind", "ear", "--root", tmp_path, "--format", "json", cwd=tmp_path)
    found = json.loads(done.stdout)
    assert found["beside_spares"]
    assert all(abs(one["carrier_hz"] - 502_300_000) >= 200_000 for one in found["carriers"])
    assert "spare-breaks-plan" not in {one["rule"] for one in found["findings"]}
    most = planlint("spares", "p.yaml", "--kind", "ear", "--count", "max", "--rounds", "1", "--root", tmp_path,
                    "--format", "json", cwd=tmp_path)  # fmt: skip
    assert not json.loads(most.stdout)["beside_spares"]
    text = planlint("spares", "p.yaml", "--kind", "ear", "--root", tmp_path, cwd=tmp_path).stdout
    assert "beside the live set and the written spares of other kinds" in text


def test_move_of_a_microphone_starts_at_the_desk(tmp_path: Path) -> None:
    mic = PLAN.replace("kind: ear, tx: TA, packs: {PA: {person: vox}}", "kind: mic, tx: TA, rx: PA, desk_in: 7")
    (tmp_path / "p.yaml").write_text(mic.replace("PB: {listens_to: [a]}", "PB: {}").replace("{ear:", "{mic:"), "utf-8")
    found = planlint("move", "p.yaml", "a", "--root", tmp_path, "--format", "json", cwd=tmp_path)
    steps = json.loads(found.stdout)["steps"]
    assert steps[0].startswith("Mute it at the desk (input 7)")
    assert [step[:2] for step in steps[1:4]] == ["PA", "Lo", "TA"]  # receiver, an empty carrier, transmitter
    assert "ears out" not in " ".join(steps)


def test_units_that_pick_their_own_carrier(tmp_path: Path) -> None:
    plan = PLAN.replace(
        "spectrum: {", "spectrum: {self_tuning_bands: {talk: {low_mhz: 1920.000, high_mhz: 1930.000}}, "
    )
    plan = plan.replace("spares_mhz", "  c: {kind: comms, self_tuned: talk}\nspares_mhz")
    (tmp_path / "p.yaml").write_text(plan, "utf-8")
    for words in (("why", "p.yaml", "500.000", "--link", "c"), ("move", "p.yaml", "c")):
        done = planlint(*words, "--root", tmp_path, cwd=tmp_path)
        assert (done.returncode, done.stdout) == (2, "")
        assert "pick their own carrier (talk)" in done.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("why", "p.yaml", "banana"),
        ("why", "p.yaml", "500.000", "--link", "zz"),
        ("move", "p.yaml", "zz"),
        ("what-if", "p.yaml"),
        ("what-if", "p.yaml", "--off", "zz"),
        ("spares", "p.yaml", "--kind", "ear", "--count", "none"),
        ("spares", "none.yaml", "--kind", "ear"),
    ],
)
def test_wrong_use(folder: Path, words: tuple[str, ...]) -> None:
    found = planlint(*words, "--root", folder, cwd=folder)
    assert found.returncode == 2
    assert found.stderr.startswith("planlint: ")
