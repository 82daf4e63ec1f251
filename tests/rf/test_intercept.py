"""Product levels: published exercises, slopes, and a numerical cubic and quintic as second opinion."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.rf import intercept
from planlint.rf.intermodulation import Limits, Relation, relations

CUBIC = [(2, -1), (1, 1, -1)]
QUINTIC = [(3, -2), (3, -1, -1), (2, 1, -2), (2, 1, -1, -1), (1, 1, 1, -2), (1, 1, 1, -1, -1)]
level = st.floats(-100, 40)


def test_intercept_exercises() -> None:
    """mywordsolution.com 9701572: two tones at -10 dBm give -60 dBm; 5 dB more on both gives -45 dBm."""
    point = intercept.intercept_from_test_dbm(-10, 50, 3)
    assert point == 15
    assert intercept.product_dbm((2, -1), (-10, -10), point) == pytest.approx(-60)
    assert intercept.product_dbm((2, -1), (-5, -5), point) == pytest.approx(-45)


def test_meaning_of_an_intercept() -> None:
    """FCC question pool E4D10 (heartlandhams.org): at an intercept of 40 dBm, 40 dBm tones make 40 dBm."""
    assert intercept.product_dbm((2, -1), (40, 40), 40) == 40
    assert intercept.product_dbm((3, -2), (40, 40), 40) == 40


@pytest.mark.parametrize(
    ("coefficients", "levels", "point", "product"),
    [
        ((2, -1), (-30, -30), -5, -80.0),
        ((1, 1, -1), (-30, -30, -30), -5, -73.98),
        ((2, -1), (-20, -40), -5, -70),
        ((-1, 2), (-20, -40), -5, -90),
    ],
)
def test_third_order_values(
    coefficients: tuple[int, ...], levels: tuple[float, ...], point: float, product: float
) -> None:
    """Pout = 3 Pin - 2 IIP3 (read in a public copy), and with unlike levels and three signals (computed)."""
    assert intercept.product_dbm(coefficients, levels, point) == pytest.approx(product, abs=0.005)


@pytest.mark.parametrize(
    ("coefficients", "excess"),
    list(zip([*CUBIC, *QUINTIC], [0, 6.02, 0, 6.02, 9.54, 15.56, 15.56, 21.58], strict=True)),
)
def test_levels_over_the_two_signal_product(coefficients: tuple[int, ...], excess: float) -> None:
    """+6 dB for three signals: microwavejournal.com article 3377; the others are computed."""
    assert intercept.multiplicity_db(coefficients) == pytest.approx(excess, abs=0.005)


@pytest.mark.parametrize("coefficients", [*CUBIC, *QUINTIC])
def test_levels_against_a_spectrum(coefficients: tuple[int, ...]) -> None:
    """Unit tones through a pure cubic or quintic, Fourier transform by numpy; no two products share a bin.

    The two-signal product of two such tones has an amplitude of 3/4 (cubic) or 10/16 (quintic).
    """
    order = sum(map(abs, coefficients))
    size = 1 << 16
    bins = [1009, 1400, 1913, 2617, 3571][: len(coefficients)]
    time = np.arange(size)
    tones = np.sum([np.cos(2 * np.pi * k * time / size) for k in bins], axis=0)
    spectrum = np.abs(np.fft.rfft(tones**order)) / (size / 2)
    at = abs(sum(c * k for c, k in zip(coefficients, bins, strict=True)))
    excess = 20 * math.log10(spectrum[at] / {3: 3 / 4, 5: 10 / 16}[order])
    assert intercept.multiplicity_db(coefficients) == pytest.approx(excess, abs=1e-6)


@pytest.mark.parametrize("coefficients", [*CUBIC, *QUINTIC])
@given(levels=st.lists(level, min_size=5, max_size=5), point=level, down=st.floats(-20, 20))
def test_slopes(coefficients: tuple[int, ...], levels: list[float], point: float, down: float) -> None:
    """All 1 dB down: third order 3 dB down and C/I 2 dB up, fifth order 5 and 4; one alone, its exponent."""
    order = sum(map(abs, coefficients))
    wanted = levels[0]
    before = intercept.product_dbm(coefficients, levels[: len(coefficients)], point)
    lower = [one - down for one in levels[: len(coefficients)]]
    after = intercept.product_dbm(coefficients, lower, point)
    assert before - after == pytest.approx(order * down, abs=1e-9)
    assert (wanted - down - after) - (wanted - before) == pytest.approx((order - 1) * down, abs=1e-9)
    for at, coefficient in enumerate(coefficients):
        one_lower = levels[: len(coefficients)]
        one_lower[at] -= down
        alone = intercept.product_dbm(coefficients, one_lower, point)
        assert before - alone == pytest.approx(abs(coefficient) * down, abs=1e-9)
    assert intercept.product_dbm(coefficients, levels[: len(coefficients)], point + 1) == pytest.approx(
        before - (order - 1), abs=1e-9
    )


@given(powers=st.lists(level, min_size=3, max_size=3), isolation=st.floats(0, 80), more=st.floats(0, 30))
def test_reverse_coupling(powers: list[float], isolation: float, more: float) -> None:
    """Isolation counts once for each dB of a coupled transmitter's coefficient, and not for the own one."""
    own = intercept.transmitter_product_dbm((2, -1), powers[:2], (0, isolation), 40)
    assert own == pytest.approx(intercept.product_dbm((2, -1), (powers[0], powers[1] - isolation), 40))
    farther = intercept.transmitter_product_dbm((2, -1), powers[:2], (0, isolation + more), 40)
    assert own - farther == pytest.approx(more, abs=1e-9)
    other = intercept.transmitter_product_dbm((2, -1), powers[:2], (isolation, 0), 40)
    assert other == pytest.approx(2 * (powers[0] - isolation) + powers[1] - 80, abs=1e-9)
    three = intercept.transmitter_product_dbm((1, 1, -1), powers, (0, isolation, isolation), 40)
    closer = intercept.transmitter_product_dbm((1, 1, -1), powers, (0, isolation, isolation - 1), 40)
    assert closer - three == pytest.approx(1, abs=1e-9)


def test_every_carrier_of_a_relation_is_hit_by_a_product_of_its_order() -> None:
    """Coefficients of a product sum to 1, their sizes to 3 or 5, and it misses by the offset."""
    carriers = [0, 1, 3, 4, 7, 12]
    found = list(relations(carriers, Limits(2, 2, 2, 2)))
    assert {relation.kind for relation in found} == set(Limits._fields)
    for relation in found:
        order = 3 if relation.kind.endswith("third") else 5
        for victim in {index for _, index in relation.left + relation.right}:
            product = intercept.product_at(relation, victim)
            assert sum(coefficient for coefficient, _ in product) == 1
            assert sum(abs(coefficient) for coefficient, _ in product) == order
            lands = sum(coefficient * carriers[index] for coefficient, index in product)
            assert abs(lands - carriers[victim]) == relation.offset_hz


def test_products_by_name() -> None:
    """2A = B + C: 2A - B on C, 2A - C on B, and B + C - A on A."""
    relation = Relation("two_signal_third", ((2, 0),), ((1, 1), (1, 2)), 0)
    assert set(intercept.product_at(relation, 2)) == {(2, 0), (-1, 1)}
    assert set(intercept.product_at(relation, 1)) == {(2, 0), (-1, 2)}
    assert set(intercept.product_at(relation, 0)) == {(1, 1), (1, 2), (-1, 0)}
    fifth = Relation("two_signal_fifth", ((3, 0),), ((2, 1), (1, 2)), 0)
    assert set(intercept.product_at(fifth, 2)) == {(3, 0), (-2, 1)}
    assert set(intercept.product_at(fifth, 1)) == {(3, 0), (-1, 1), (-1, 2)}
    assert set(intercept.product_at(fifth, 0)) == {(-2, 0), (2, 1), (1, 2)}
    with pytest.raises(ValueError, match="carrier 9"):
        intercept.product_at(relation, 9)


@pytest.mark.parametrize("coefficients", [(1, -1), (1,), (2, -2), ()])
def test_only_odd_orders(coefficients: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="odd order"):
        intercept.product_dbm(coefficients, [0.0] * len(coefficients), 0)
    with pytest.raises(ValueError, match="order"):
        intercept.intercept_from_test_dbm(0, 50, 2)
    with pytest.raises(ValueError):
        intercept.product_dbm((2, -1), (0, 0, 0), 0)
