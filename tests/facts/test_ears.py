"""Ceilings at the ear and the day's dose, from a plan to the number, against published and hand-made values.

Sources: `tests/rf/data/earphone.csv` (closed form); spuriae.com, sensitivity converter (read in a public copy): 90 dB at
0.037 V in 32 ohm is 103.69 dB/mW; 100 dB from 110 dB/mW and 16 ohm takes 40 mV (computed); NIOSH 98-126 Table 1-1
(`tests/rf/data`, a secondary copy), of which 99, 124 and 127 dB(A) differ from the standard's own formula.
"""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import pytest

from planlint.engine import Report
from planlint.facts.ears import Ear, NoEar, ears, lower_settings
from planlint.facts.music import music
from planlint.finding import Finding
from planlint.plan.model import Model
from planlint.rules.hearing_wording import duration, time_at
from tests.plans import facts_of, plan_of
from tests.rules.case_files import run

DATA = Path(__file__).parents[1] / "rf" / "data"
TABLE_IS_NOT_THE_FORMULA = {99, 124, 127}


def rows(table: str) -> list[dict[str, str]]:
    with (DATA / f"{table}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def text_of(sensitivity: float, ohm: float, max_dbv: float, limiter: str, more: str = "") -> str:
    return f"""plan_format: 1
kind: plan
models: {{pack-m: {{role: ear-pack, limiter_ref: max_output, max_output_dbv: {max_dbv:.6f}{more}}}}}
people: {{vox: {{ears: e}}}}
earphones: {{e: {{sensitivity_db_spl_per_mw: {sensitivity}, impedance_ohm: {ohm}}}}}
devices: {{TX-1: {{}}, PK-1: {{model: pack-m}}}}
links: {{vox: {{kind: ear, tx: TX-1, packs: {{PK-1: {{person: vox, limiter_db: {limiter}}}}}}}}}
"""


def ear(folder: Path, text: str) -> Ear:
    (found,) = ears(plan_of(folder, text))
    assert isinstance(found, Ear), found
    return found


def warning(report: Report, rule: str) -> Finding | None:
    return next((finding for finding in report.findings if finding.rule == rule), None)


@pytest.mark.parametrize("row", rows("earphone"), ids=lambda row: row["impedance_ohm"])
def test_one_volt_at_the_earphone(row: dict[str, str], tmp_path: Path) -> None:
    sensitivity, ohm, level = (float(value) for value in row.values())
    assert ear(tmp_path, text_of(sensitivity, ohm, 0, "0")).ceiling_db_spl == pytest.approx(level, abs=0.006)
    assert ear(tmp_path, text_of(sensitivity, ohm, 6, "-6")).ceiling_db_spl == pytest.approx(level, abs=0.006)


def test_published_and_computed_examples(tmp_path: Path) -> None:
    calculator = text_of(103.69, 32, 20 * math.log10(0.037), "0")
    assert ear(tmp_path, calculator).ceiling_db_spl == pytest.approx(90, abs=0.005)
    forty_millivolt = text_of(110, 16, 20 * math.log10(0.4), "-20")
    assert ear(tmp_path, forty_millivolt).ceiling_db_spl == pytest.approx(100, abs=1e-4)


def test_a_limiter_that_is_off_lets_everything_through(tmp_path: Path) -> None:
    off = ear(tmp_path, text_of(105, 16, -4, "none"))
    assert off.ceiling_db_spl == pytest.approx(122.96 - 4, abs=0.006)
    assert ear(tmp_path, text_of(105, 16, -4, "-12")).ceiling_at(0) == pytest.approx(off.ceiling_db_spl)


def test_the_time_at_a_ceiling_is_that_of_the_published_table() -> None:
    """Table 1-1 in hours and minutes up to 94 dB(A), in minutes and seconds above; 130 dB(A) and more: "<1 s"."""
    different = set()
    for row in rows("niosh_98_126_table_1_1"):
        level, seconds = int(row["level_dba"]), int(row["time_s"])
        found = {unit: int(count) for count, unit in re.findall(r"(\d+) (h|min|s)\b", time_at(level))}
        if found.get("h", 0) * 3600 + found.get("min", 0) * 60 + found.get("s", 0) != seconds:
            different.add(level)
    assert different == TABLE_IS_NOT_THE_FORMULA
    assert time_at(130) == "less than 1 s"
    assert time_at(141) == "less than 1 s"
    assert [duration(hours) for hours in (8, 1.5, 0.25, 0.02)] == ["8 h", "1 h 30 min", "15 min", "1 min 12 s"]


def test_three_decibels_halve_the_time_in_the_message(tmp_path: Path) -> None:
    """NIOSH 98-126 Table 1-1: 100 dB(A) 15 min, 103 dB(A) 7 min 30 s, 106 dB(A) 3 min 45 s."""
    report = run(text_of(100, 10, -8, "-6", ", limiter_db: {low: -20, high: 0}"), tmp_path)
    found = warning(report, "ear-ceiling-high")
    assert found is not None
    assert found.values["ceiling_db_spl"] == 106
    assert found.values["yardstick_s"] == 225
    for said in (
        "106 dB SPL (±6 dB)",
        "NIOSH 98-126",
        "3 min 45 s",
        "-12 dB gives 100 dB SPL and 15 min",
        "not an assessment",
    ):
        assert said in found.message


@pytest.mark.parametrize(
    ("limits", "limiter_db", "lower"),
    [
        ({"low": -24, "high": 0}, -6.0, (-12.0, -18.0)),
        ({"low": -15, "high": 0}, -6.0, (-12.0, -15.0)),
        ({"low": -10, "high": 0}, -6.0, (-10.0,)),
        ({"low": -6, "high": 0}, -6.0, ()),
        ({"low": -24, "high": 0, "step": 4}, -4.0, (-12.0, -16.0)),
        ({"low": -24, "high": 0, "step": 3}, 0.0, (-6.0, -12.0)),
        (None, -6.0, ()),
    ],
)
def test_lower_settings_are_settings_of_the_model(
    limits: dict[str, float] | None, limiter_db: float, lower: tuple[float, ...]
) -> None:
    model = Model("m", "ear-pack", (), None, None, {} if limits is None else {"limiter_db": limits}, "/models/m")
    assert lower_settings(model, limiter_db) == lower


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    (found,) = ears(
        plan_of(
            tmp_path,
            "plan_format: 1\nkind: plan\nmodels: {m: {role: ear-pack}}\npeople: {vox: {ears: e}}\nearphones: {e: {}}\n"
            "devices: {PK-1: {model: m}}\nlinks: {vox: {kind: ear, packs: {PK-1: {person: vox}}}}\n",
        )
    )
    assert isinstance(found, NoEar)
    assert set(found.needs) == {
        "/earphones/e/sensitivity_db_spl_per_mw",
        "/earphones/e/impedance_ohm",
        "/pack_defaults/limiter_db",
        "/models/m/max_output_dbv",
        "/models/m/limiter_ref",
    }


def day_text(level: float, minutes: int) -> str:
    end = f"{minutes // 60:02d}:{minutes % 60:02d}"
    return f"""plan_format: 1
kind: plan
people: {{vox: {{average_db_spl: {level}}}}}
devices: {{PK-1: {{}}}}
links: {{vox: {{kind: ear, packs: {{PK-1: {{person: vox}}}}}}}}
day: [{{what: show, at: "00:00", until: "{end}", on_air: all}}]
"""


@pytest.mark.parametrize("level", [84, 85, 88, 91, 94, 97, 100])
def test_the_table_s_time_at_a_level_is_a_whole_day(level: int, tmp_path: Path) -> None:
    """NIOSH 98-126 Table 1-1: five per cent less time than it gives says nothing, five per cent more speaks."""
    (row,) = [row for row in rows("niosh_98_126_table_1_1") if int(row["level_dba"]) == level]
    minutes = int(row["time_s"]) / 60
    less = run(day_text(level, math.floor(0.95 * minutes)), tmp_path / "less")
    more = warning(run(day_text(level, math.ceil(1.05 * minutes)), tmp_path / "more"), "dose-over-day")
    assert warning(less, "dose-over-day") is None
    assert more is not None
    assert 100 < float(more.values["dose_pct"]) < 112


def test_ninety_minutes_at_97(tmp_path: Path) -> None:
    """30 minutes each are a day: 300 % (NIOSH 98-126 Table 1-1); 5 dB less are 94.5 % (closed form)."""
    found = warning(run(day_text(97, 90), tmp_path), "dose-over-day")
    assert found is not None
    assert found.values["dose_pct"] == 300
    assert "down 5 dB" in found.message
    assert warning(run(day_text(92, 90), tmp_path), "dose-over-day") is None
    assert warning(run(day_text(93, 90), tmp_path), "dose-over-day") is not None


def test_minutes_of_music_count_once_and_only_where_the_link_is_on(tmp_path: Path) -> None:
    facts = facts_of(
        tmp_path,
        """plan_format: 1
kind: plan
devices: {PK-1: {}, PK-2: {}, PK-3: {}}
links:
  a: {kind: ear, packs: {PK-1: {}}}
  b: {kind: ear, packs: {PK-2: {}}}
  c: {kind: ear, packs: {PK-3: {}}}
day:
  - {what: packs on, at: "15:00", on_air: all}
  - {what: sound check, at: "16:00", until: "17:00", on_air: [a, b]}
  - {what: show, at: "20:00", until: "22:00", on_air: [a]}
  - {what: guests, at: "21:00", until: "21:40", on_air: [b]}
  - {what: after, at: "22:00", until: "23:00", on_air: all}
""",
    )
    found = {name: music(facts.plan, facts, [name]) for name in "abc"}
    assert found["a"].minutes == 60 + 120
    assert found["a"].parts == ("sound check", "show")
    assert found["b"].minutes == 60 + 40
    assert found["c"].minutes == 180, "a link that no list names is always on"
    assert music(facts.plan, facts, ["a", "b"]).minutes == 180
