"""What only two plans can show: each row speaks where it must, and is silent just beside it.

The time factor of a limiter is NIOSH 98-126's 3 dB exchange: T = 8 / 2^((L - 85) / 3) hours, so 3 dB halve the time
(the source is named in planlint.rf.hearing). The level of an earphone is the definition
L = S + 20 log10(U) + 10 log10(1000 / Z). A stereo pair summed to one side is 3 dB (unlike) to 6 dB (alike) louder:
sums of powers and of voltages.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from tests.diff.shows import Edits, compare, consequence, ids

LIMITER = "limiter_db: -18"
SILENT: dict[str, tuple[str, Edits]] = {
    "limiter lowered": ("limiter-raised", {LIMITER: "limiter_db: -24"}),
    "limiter written another way": ("limiter-raised", {LIMITER: "limiter_db: -18.0"}),
    "gain lowered": ("gain-raised", {"gain_db: 0": "gain_db: -3"}),
    "volume freed": ("volume-fixed", {"volume: free": "volume: free, squelch: 3"}),
    "power lowered": ("power-raised", {"503.300, power_mw: 9": "503.300, power_mw: 3"}),
    "other earphones that are as loud": ("earphone-swap", {"gtr: {does: plays guitar, ears: dome}": "gtr: {does: plays, ears: dome}"}),
    "the person stays": ("label-person-moved", {"label: 1 VOX}\n  TX-2": "label: 1 VOX X}\n  TX-2"}),
    "carrier of nobody's list": ("engineer-list-stale", {"507.350": "507.400"}),
    "the model does not say what a send brings": ("left-from-partial-send", {"volume: free": "volume: fixed"}),
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(SILENT))
def test_it_is_silent_beside_the_case(name: str, tmp_path: Path) -> None:
    row, edits = SILENT[name]
    assert row not in ids(compare(tmp_path, edits))


def test_limiter_raised(tmp_path: Path) -> None:
    found = compare(tmp_path, {"PK-1: {person: vox}": "PK-1: {person: vox, limiter_db: -6}"})
    item = consequence(found, "limiter-raised")
    assert item.units == ("PK-1",)
    assert item.worse
    assert item.values == {"step_db": 12.0, "time_factor": 16.0}  # the catalogue's own example: 12 dB is 16-fold
    level = 104 + (-2 - 6) + 10 * math.log10(1000 / 32)
    assert f"→ {level:.0f} dB SPL" in item.message
    assert "limiter-raised" in found.risks
    (change,) = found.changes
    assert item in change.consequences


def test_limiter_raised_for_all_by_the_house_settings(tmp_path: Path) -> None:
    found = compare(tmp_path, {LIMITER: "limiter_db: -15"})
    (change,) = found.changes
    assert [item.units for item in change.consequences if item.id == "limiter-raised"] == [
        ("PK-1",), ("PK-10",), ("PK-2",), ("PK-S",),
    ]  # fmt: skip
    assert all(item.values["time_factor"] == 2.0 for item in change.consequences if item.id == "limiter-raised")


@pytest.mark.parametrize("new", ["limiter_db: none", "squelch: 2"])
def test_limiter_taken_off_or_no_longer_written(new: str, tmp_path: Path) -> None:
    item = consequence(compare(tmp_path, {LIMITER: new}), "limiter-raised")
    assert item.worse
    assert "Nothing caps a burst" in item.message


def test_gain_raised(tmp_path: Path) -> None:
    item = consequence(compare(tmp_path, {"PK-2: {person: gtr}": "PK-2: {person: gtr, gain_db: 3}"}), "gain-raised")
    assert (item.units, item.values, item.worse) == (("PK-2",), {"step_db": 3.0}, True)


def test_earphone_swap(tmp_path: Path) -> None:
    found = compare(tmp_path, {"vox: {does: sings, ears: dome}": "vox: {does: sings, ears: shell}"})
    item = consequence(found, "earphone-swap")
    assert (item.units, item.values, item.severity) == (("PK-1",), {"step_db": 6.0}, "warning")
    assert found.touched.fields == {}


def test_earphones_of_other_impedance(tmp_path: Path) -> None:
    """At one voltage half the impedance is 3 dB more: 10 log10(32 / 16)."""
    found = compare(tmp_path, {"104, impedance_ohm: 32": "104, impedance_ohm: 16"})
    assert consequence(found, "earphone-swap").values == {"step_db": 3.0}
    assert consequence(found, "earphone-swap").severity == "warning"  # 3.01 dB


def test_sum_level_jump(tmp_path: Path) -> None:
    item = consequence(
        compare(tmp_path, {"PK-2: {person: gtr}": "PK-2: {person: gtr, ear_feed: mono}"}), "sum-level-jump"
    )
    assert item.units == ("PK-2",)
    assert item.values["step_db_least"] == round(10 * math.log10(2))
    assert item.values["step_db_most"] == round(20 * math.log10(2))


def test_volume_fixed(tmp_path: Path) -> None:
    item = consequence(compare(tmp_path, {"PK-2: {person: gtr}": "PK-2: {person: gtr, volume: fixed}"}), "volume-fixed")
    assert "gtr cannot turn down" in item.message


def test_power_raised(tmp_path: Path) -> None:
    item = consequence(compare(tmp_path, {"503.300, power_mw: 9": "503.300, power_mw: 27"}), "power-raised")
    assert item.values == {"power_mw": 27.0, "step_db": round(10 * math.log10(3), 1)}
    assert "50 mW eirp" in item.message


def test_engineer_list_stale(tmp_path: Path) -> None:
    found = compare(tmp_path, {"501.000": "509.000", "503.300": "511.300"})
    item = consequence(found, "engineer-list-stale")
    assert item.units == ("PK-10",)
    assert "2 entries in the list of PK-10" in item.message
    assert found.hands[:3] == (5, 2, 14.0)  # TX-1, PK-1, PK-S, TX-2, PK-2, and two entries at 2 min each


def test_label_person_moved(tmp_path: Path) -> None:
    found = compare(tmp_path, {"PK-2: {person: gtr}": "PK-2: {person: mon}"})
    item = consequence(found, "label-person-moved")
    assert item.units == ("PK-2",)
    assert "2 GTR" in item.message


def test_needless_move_and_its_cause(tmp_path: Path) -> None:
    found = compare(tmp_path, {"503.300": "504.125"})
    (change,) = found.changes
    assert change.cause == "unexplained"
    assert consequence(found, "needless-move").units == ("PK-10", "PK-2", "TX-2")
    assert "save 3 touches" in consequence(found, "needless-move").message


def test_a_move_that_the_place_asked_for(tmp_path: Path) -> None:
    found = compare(tmp_path, {"503.300": "509.125", "[15, 16]": "[15, 16, 19]", "501.000": "511.000"})
    causes = {change.pointer: change.cause for change in found.changes}
    assert causes["/carriers/ear-2/carrier_mhz"] == "venue"
    item = next(item for item in found.consequences if item.id == "old-carrier-fails" and "503.300" in item.message)
    assert item.values == {"rule": "occupied-tv-channel"}
    died = consequence(found, "died-since-last")
    assert died.values == {"died": 2, "of": 4, "not_moved": 0}
    assert died.severity == "note"


def test_died_since_last(tmp_path: Path) -> None:
    """TV 19 is 500 to 506 MHz (47 CFR 73.603: 470 + 6 (n - 14)); two carriers stay in it."""
    found = compare(tmp_path, {"[15, 16]": "[15, 16, 19]"})
    item = consequence(found, "died-since-last")
    assert item.severity == "error"
    assert item.values == {"died": 2, "of": 4, "not_moved": 2}
    assert "occupied-tv-channel" in found.risks
    assert {finding.rule for finding in found.effect.new_errors} == {"occupied-tv-channel"}


def test_a_pinned_carrier_gives_its_own_reason(tmp_path: Path) -> None:
    found = compare(tmp_path, {"503.300, power_mw: 9": "504.125, power_mw: 9, pinned: the house gave us this one"})
    assert "the house gave us this one" in consequence(found, "carrier-pinned").message
    assert all(change.cause != "unexplained" for change in found.changes)


def test_a_swap_is_put_back_as_a_whole(tmp_path: Path) -> None:
    """Each carrier alone would meet the other one: only together can they be judged needless."""
    lines = "ear-1: {carrier_mhz: 501.000, power_mw: 9}\n  ear-2: {carrier_mhz: 503.300"
    found = compare(
        tmp_path, {lines: lines.replace("501.000", "x").replace("503.300", "501.000").replace("x", "503.300")}
    )
    (change,) = found.changes
    assert (change.kind, change.cause) == ("swapped", "unexplained")


TAKES = {"limiter_ref: max_output, max_output_dbv: -2}\n  wren-pack-b": (
    "limiter_ref: max_output, max_output_dbv: -2, takes_by_send: [carrier_mhz]}\n  wren-pack-b")}  # fmt: skip


def test_what_a_send_does_not_bring(tmp_path: Path) -> None:
    found = compare(
        tmp_path, {**TAKES, "label: 2 GTR}\n  PK-10": "label: 2 LEAD}\n  PK-10", "gain_db: 0": "gain_db: -2"}, TAKES
    )
    assert consequence(found, "display-name-old").units == ("PK-2",)
    partial = {item.units for item in found.consequences if item.id == "left-from-partial-send"}
    assert partial == {("PK-1",), ("PK-10",), ("PK-2",), ("PK-S",)}


def test_a_send_that_brings_all_leaves_nothing_to_say(tmp_path: Path) -> None:
    found = compare(tmp_path, {**TAKES, "503.300": "504.125"}, TAKES)
    assert not {"display-name-old", "left-from-partial-send"} & ids(found)


def test_a_hired_unit_is_another_unit(tmp_path: Path) -> None:
    found = compare(tmp_path, {"day:": "hired: {PK-2: {model: wren-pack-b, because: PK-2 is broken}}\nday:"})
    assert found.touched.fields == {"PK-2": ("model",)}
    assert {change.cause for change in found.changes} == {"hire"}


def test_causes_follow_the_file(tmp_path: Path) -> None:
    found = compare(
        tmp_path,
        {"[15, 16]": "[15]", "hands_min_per_unit: 2": "hands_min_per_unit: 1", "emission_khz: 180,\n            powers": "emission_khz: 170,\n            powers"},
    )  # fmt: skip
    assert {change.pointer: change.cause for change in found.changes} == {
        "/models/wren-tx/emission_khz": "hire",
        "/policy/hands_min_per_unit": "decision",
        "/spectrum/tv_occupied": "venue",
    }


SCAN = 'scans: {s: {file: ../s.csv, at: "2026-05-01T13:00", for: ear, resolution_khz: 100, own_rf: silent}}\nday:'


@pytest.mark.parametrize(("level", "speaks"), [(-90, True), (-94, True), (-95, False)])
def test_same_number_other_air(level: int, speaks: bool, tmp_path: Path) -> None:
    """Flat noise of -97 dBm in 100 kHz; 3 dB more is worth a word, less is not."""
    for folder, floor in (("old", -97), ("new", level)):
        rows = "".join(f"{470 + step / 10:.1f},{floor}\n" for step in range(1380))
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "s.csv").write_text(f"freq_mhz,level_dbm\n{rows}", "utf-8")
    found = compare(tmp_path, {"day:": SCAN, "507.350": "507.400"}, {"day:": SCAN})
    about = {item.message.split()[0] for item in found.consequences if item.id == "same-number-other-air"}
    assert about == ({"ear-1", "ear-2"} if speaks else set())  # ear-10 moved: another number
