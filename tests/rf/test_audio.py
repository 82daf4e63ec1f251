"""Audio levels, filters, limiter and balance; run time of cells."""

import math

import pytest

from planlint.rf import audio, cells, decibel


def test_line_levels() -> None:
    """0 dBu = sqrt(0.6) V; +4 dBu = 1.2277 V (cinema8.com: 1.228); -10 dBV = 0.3162 V = -7.78 dBu."""
    assert decibel.dbu_to_volts(0) == pytest.approx(0.774597, abs=1e-6)
    assert decibel.dbu_to_volts(audio.PROFESSIONAL_LINE_DBU) == pytest.approx(1.227653, abs=1e-6)
    assert decibel.dbv_to_volts(audio.CONSUMER_LINE_DBV) == pytest.approx(0.316228, abs=1e-6)
    assert audio.dbv_to_dbu(audio.CONSUMER_LINE_DBV) == pytest.approx(-7.7815, abs=1e-4)
    gap = audio.dbu_to_dbv(audio.PROFESSIONAL_LINE_DBU) - audio.CONSUMER_LINE_DBV
    assert gap == pytest.approx(11.7815, abs=1e-4)
    assert decibel.volts_to_dbu(decibel.dbu_to_volts(17)) == pytest.approx(17)
    assert decibel.dbu_to_volts(24) == pytest.approx(12.28, abs=0.005)
    assert pytest.approx(6.02, abs=0.001) == audio.ONE_LEG_DB


@pytest.mark.parametrize(("order", "gain"), [(1, -6.99), (2, -12.30), (4, -24.10)])
def test_filter_an_octave_away(order: int, gain: float) -> None:
    """Butterworth: -3.01 dB at the cutoff whatever the order; an octave beyond as tabled (computed)."""
    assert audio.filter_gain_db(40, 80, order, "high") == pytest.approx(gain, abs=0.005)
    assert audio.filter_gain_db(16_000, 8_000, order, "low") == pytest.approx(gain, abs=0.005)
    assert audio.filter_gain_db(80, 80, order, "high") == pytest.approx(-3.01, abs=0.001)
    assert audio.filter_gain_db(8_000, 80, order, "high") == pytest.approx(0, abs=0.001)


def test_swapped_filters_leave_nothing() -> None:
    """A low cut of 80 Hz passes a voice; 8 kHz and 80 Hz swapped cut it on both sides."""
    voice_hz = 800
    assert audio.filter_gain_db(voice_hz, 80, 2, "high") + audio.filter_gain_db(voice_hz, 8000, 2, "low") > -0.1
    swapped = audio.filter_gain_db(voice_hz, 8000, 2, "high") + audio.filter_gain_db(voice_hz, 80, 2, "low")
    assert swapped < -70
    with pytest.raises(ValueError, match="order"):
        audio.filter_gain_db(100, 80, 0, "low")
    with pytest.raises(ValueError, match="cutoff_hz"):
        audio.filter_gain_db(100, 0, 1, "low")


def test_limiter() -> None:
    assert audio.limited_db(-3, -12) == -12
    assert audio.limited_db(-20, -12) == -20
    assert audio.limited_db(-4, -12, ratio=4) == -10
    with pytest.raises(ValueError, match="ratio"):
        audio.limited_db(0, 0, ratio=0.5)


def test_balance() -> None:
    """Turned 90 % the neighbour's side is 20 dB down under a linear law; only 100 % silences it."""
    assert audio.balance_leak_db(90) == pytest.approx(-20)
    assert audio.balance_leak_db(-90) == pytest.approx(-20)
    assert audio.balance_leak_db(0) == 0
    assert audio.balance_leak_db(-100) == audio.balance_leak_db(100) == -math.inf
    for beyond in (-101, 100.5):
        with pytest.raises(ValueError, match="balance"):
            audio.balance_leak_db(beyond)


@pytest.mark.parametrize(
    ("current_ma", "capacity_mah"),
    [(25, 2900), (50, 2553), (100, 2206), (150, 2003), (200, 1859), (500, 1400)],
)
def test_alkaline_cell(current_ma: float, capacity_mah: float) -> None:
    """lygte-info.dk: 2900 mAh at 25 mA and 1400 mAh at 500 mA; between them by logarithm (computed)."""
    assert cells.alkaline_aa_capacity_mah(current_ma) == pytest.approx(capacity_mah, abs=1)


def test_alkaline_cell_against_an_independent_discharge() -> None:
    """powerstream.com AA tests: 2.13 to 2.20 Ah at 100 mA."""
    assert 2130 * 0.97 < cells.alkaline_aa_capacity_mah(100) < 2200 * 1.03
    for outside in (24, 501):
        with pytest.raises(ValueError, match="current_ma"):
            cells.alkaline_aa_capacity_mah(outside)


def test_run_time() -> None:
    """150 mA: LR6 13.4 h, HR6 of 2000 mAh 13.3 h, FR6 of 3000 mAh 20 h (computed)."""
    assert cells.run_time_h(cells.alkaline_aa_capacity_mah(150), 150) == pytest.approx(13.4, abs=0.05)
    assert cells.run_time_h(2000, 150) == pytest.approx(13.3, abs=0.05)
    assert cells.run_time_h(3000, 150) == 20
    assert cells.run_time_h(2000, 100, cells.AGED_SHARE) == 16
    with pytest.raises(ValueError, match="current_ma"):
        cells.run_time_h(2000, 0)


def test_cell_types() -> None:
    """IEC designations: L alkaline, F lithium-iron disulfide, H nickel-metal hydride, none zinc-carbon."""
    nominal = {designation: cell.nominal_v for designation, cell in cells.AA_CELLS.items()}
    assert nominal == {"LR6": 1.5, "FR6": 1.5, "HR6": 1.2, "R6": 1.5}
