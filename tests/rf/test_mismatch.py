"""Mismatch loss of a cable against the line's own equation, evaluated along its length."""

import cmath
import math

import pytest

from planlint.rf.mismatch import most_mismatch_loss_db


def loss_along_db(line_ohm: float, ends_ohm: float, degrees: float) -> float:
    """A lossless line's input impedance Z (R + j Z tan) / (Z + j R tan), and the power a source of R loses on it."""
    turn = cmath.tan(complex(math.radians(degrees)))
    seen = line_ohm * (ends_ohm + 1j * line_ohm * turn) / (line_ohm + 1j * ends_ohm * turn)
    reflected = abs((seen - ends_ohm) / (seen + ends_ohm))
    return -10 * math.log10(1 - reflected**2)


@pytest.mark.parametrize("line_ohm", [25.0, 50.0, 60.0, 75.0, 93.0, 120.0])
def test_the_worst_of_all_lengths(line_ohm: float) -> None:
    lengths = [loss_along_db(line_ohm, 50, degrees / 10) for degrees in range(1800)]
    assert max(lengths) == pytest.approx(most_mismatch_loss_db(line_ohm), abs=1e-6)
    assert min(lengths) == pytest.approx(0, abs=1e-9)


def test_video_cable_between_antenna_sockets() -> None:
    """75 ohm between 50 ohm costs 0 to 0.7 dB by its length (computed): VSWR 2.25, 14.8 % reflected."""
    assert most_mismatch_loss_db(75) == pytest.approx(0.695, abs=0.001)
    assert 1 - 10 ** (-most_mismatch_loss_db(75) / 10) == pytest.approx(((2.25 - 1) / (2.25 + 1)) ** 2)
    assert most_mismatch_loss_db(50) == 0


def test_impedances_are_above_zero() -> None:
    with pytest.raises(ValueError, match="line_ohm"):
        most_mismatch_loss_db(0)
    with pytest.raises(ValueError, match="ends_ohm"):
        most_mismatch_loss_db(75, -1)
