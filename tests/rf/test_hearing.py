"""Earphone levels and allowed times against NIOSH, OSHA and the EU directive."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.rf import hearing

Published = Callable[[str], list[dict[str, str]]]


def test_earphone_level(published: Published) -> None:
    for row in published("earphone"):
        sensitivity, ohm, level = (float(value) for value in row.values())
        assert hearing.earphone_level_db_spl(0, ohm, sensitivity) == pytest.approx(level, abs=0.006)
        assert hearing.output_for_level_dbv(level, ohm, sensitivity) == pytest.approx(0, abs=0.006)


def test_earphone_level_by_a_published_calculator() -> None:
    """spuriae.com: 90 dB at 0.037 V, 32 ohm is 103.69 dB/mW; audiosciencereview.com: 104 dB/V, 474 ohm."""
    volts = 20 * math.log10(0.037)
    assert hearing.earphone_level_db_spl(volts, 32, 103.69) == pytest.approx(90, abs=0.005)
    assert hearing.earphone_level_db_spl(0, 474, 100.76) == pytest.approx(104, abs=0.005)


def test_limiter_voltage() -> None:
    """100 dB from 110 dB/mW and 16 ohm takes 40 mV (computed); so the ceiling with that limiter is 100 dB."""
    dbv = hearing.output_for_level_dbv(100, 16, 110)
    assert 10 ** (dbv / 20) == pytest.approx(0.040, rel=1e-6)
    assert hearing.ceiling_db_spl(-4, dbv + 4, 16, 110) == pytest.approx(100)
    assert hearing.ceiling_db_spl(-4, -12, 24, 112) - hearing.ceiling_db_spl(-4, -24, 24, 112) == 12


def test_source_loss() -> None:
    """10 ohm before 16 ohm loses 4.22 dB (computed)."""
    assert hearing.source_loss_db(10, 16) == pytest.approx(4.22, abs=0.005)
    assert hearing.source_loss_db(0, 16) == 0
    with pytest.raises(ValueError, match="impedance_ohm"):
        hearing.earphone_level_db_spl(0, 0, 100)


def test_niosh_table(published: Published) -> None:
    """NIOSH 98-126 Table 1-1 is the formula rounded half up, minutes to 94 dB(A), but for three rows."""
    odd = []
    for row in published("niosh_98_126_table_1_1"):
        level, seconds = float(row["level_dba"]), int(row["time_s"])
        unit = 60 if level <= 94 else 1
        formula = 3600 * hearing.allowed_h(level, hearing.YARDSTICKS["niosh"])
        if math.floor(formula / unit + 0.5) * unit != seconds:
            odd.append(int(level))
    assert odd == [99, 124, 127]


def test_osha_tables(published: Published) -> None:
    osha = hearing.YARDSTICKS["osha"]
    for row in published("osha_g16"):
        hours = float(row["time_h"])
        assert hearing.allowed_h(float(row["level_dba"]), osha) == pytest.approx(hours, abs=0.07), row
    for row in published("osha_g16a"):
        hours = float(row["time_h"])
        dose = hearing.dose_pct([(float(row["level_dba"]), 1.0)], "osha")
        assert 100 / dose == pytest.approx(hours, abs=0.06 if hours >= 1 else 0.0006), row


def test_osha_dose_example() -> None:
    """soundtrace.com: 4 h at 90, 2 h at 95 and 2 h at 85 dB(A) are 112.5 %, a TWA of 90.85 dB(A)."""
    dose = hearing.dose_pct([(90, 4), (95, 2), (85, 2)], "osha")
    assert dose == pytest.approx(112.5)
    assert hearing.average_dba(dose, "osha") == pytest.approx(90.85, abs=0.005)
    # 29 CFR 1910.95 App. A: 50 % is the action level of 85 dB(A)
    assert hearing.average_dba(50, "osha") == pytest.approx(85)


def test_average_level_by_niosh() -> None:
    """200 % is 88.00 dB(A) exactly; with the printed factor of 10 it would be 88.01."""
    assert hearing.average_dba(200, "niosh") == pytest.approx(88.0)
    assert hearing.average_dba(100, "niosh") == 85
    with pytest.raises(ValueError, match="dose_pct"):
        hearing.average_dba(0, "niosh")


def test_eu_values(published: Published) -> None:
    """Directive 2003/10/EC Article 3: 80, 85 and 87 dB(A) for 8 h; 112, 140 and 200 Pa peak."""
    for row in published("eu_2003_10"):
        yardstick = hearing.YARDSTICKS[f"eu-{row['value']}"]
        assert yardstick.level_dba == float(row["level_dba"])
        assert hearing.allowed_h(yardstick.level_dba, yardstick) == 8
        assert hearing.peak_db(float(row["peak_pa"])) == pytest.approx(float(row["peak_dbc"]), abs=0.11)
    upper = hearing.YARDSTICKS["eu-upper"]
    # SCENIHR table 3: the same energy as 85 dB(A) over 8 h
    for level, hours in {88: 4, 91: 2, 94: 1, 97: 0.5, 100: 0.25}.items():
        assert hearing.allowed_h(level, upper) == pytest.approx(hours)


def test_one_show_by_each_yardstick() -> None:
    """98 dB(A) for 90 min: NIOSH 378 %, OSHA 56.8 % (computed). So the yardstick is always named."""
    assert hearing.dose_pct([(98, 1.5)], "niosh") == pytest.approx(378, abs=0.5)
    assert hearing.dose_pct([(98, 1.5)], "osha") == pytest.approx(56.8, abs=0.05)
    assert hearing.dose_pct([(98, 1.5)], "eu-upper") == hearing.dose_pct([(98, 1.5)], "niosh")


@given(level=st.floats(60, 150), yardstick=st.sampled_from(sorted(hearing.YARDSTICKS)))
def test_allowed_time_names_its_yardstick_and_range(level: float, yardstick: str) -> None:
    found = hearing.allowed_time(level, yardstick)
    rule = hearing.YARDSTICKS[yardstick]
    assert found.yardstick == rule.name
    assert found.uncertainty_db == 6
    assert found.least_h <= found.time_h <= found.most_h
    if level + 6 <= rule.ceiling_dba:
        assert found.most_h / found.least_h == pytest.approx(2 ** (12 / rule.exchange_db))
    if level > rule.ceiling_dba:
        assert found.time_h == found.least_h == 0


def test_ceilings() -> None:
    """OSHA's table ends at 115 dB(A) with a quarter of an hour; above it there is no time at all."""
    osha = hearing.YARDSTICKS["osha"]
    assert hearing.allowed_h(115, osha) == 0.25
    assert hearing.allowed_h(115.01, osha) == 0
    assert hearing.allowed_h(140, hearing.YARDSTICKS["niosh"]) > 0
    assert hearing.allowed_h(140.01, hearing.YARDSTICKS["niosh"]) == 0
    assert hearing.allowed_time(112, "osha").least_h == 0
