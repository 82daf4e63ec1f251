"""How wide products are, and which of them reach a carrier: against a spectrum of modulated carriers and a plain search.

The width of an FM product is checked on a real one: two carriers are modulated, multiplied as a third-order product is
(a squared, times b's conjugate), and the band that holds 99 % of its power is read from numpy's Fourier transform (99 %
is the usual meaning of occupied bandwidth: ITU Radio Regulations, No. 1.153, from memory, not verified).
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from planlint.facts import Facts
from planlint.facts.wide import nearest
from tests.plans import facts_of

RATE_HZ = 1_000_000
TIME_S = np.arange(RATE_HZ) / RATE_HZ


def modulated(tone_hz: float, deviation_hz: float) -> NDArray[np.complex128]:
    return np.exp(1j * deviation_hz / tone_hz * np.sin(2 * np.pi * tone_hz * TIME_S))


def occupied_hz(signal: NDArray[np.complex128]) -> float:
    power = np.abs(np.fft.fftshift(np.fft.fft(signal))) ** 2
    held = np.cumsum(power) / power.sum()
    return float(np.searchsorted(held, 0.995) - np.searchsorted(held, 0.005))


@pytest.mark.parametrize("tones", [(1000.0, 1700.0), (5000.0, 3300.0), (15000.0, 12100.0)])
def test_a_product_is_nearly_as_wide_as_its_signals_by_their_coefficients(tones: tuple[float, float]) -> None:
    first, second = (modulated(tone, 48_000) for tone in tones)
    alone, product = occupied_hz(first), occupied_hz(first**2 * second.conj())
    counted = 2 * alone + occupied_hz(second)
    assert 0.75 * counted < product <= counted * 1.001
    assert product > 2 * alone, "wider than twice either alone"


def text_of(carriers_khz: list[int], policy: str = "") -> str:
    links = "".join(
        f"  l{index}: {{kind: ear, carrier_mhz: {khz / 1000:.3f}}}\n" for index, khz in enumerate(carriers_khz)
    )
    return f"plan_format: 1\nkind: plan\n{policy}links:\n{links}"


def plain_search(facts: Facts) -> set[tuple[int, tuple[str, ...], str]]:
    """Every relation 2A = B + C between the limit and the reach, the nearest for each id; B is 200 kHz throughout."""
    best: dict[str, tuple[int, tuple[str, ...], str]] = {}
    for middle in facts.carriers:
        for low, high in combinations([name for name in facts.carriers if name != middle], 2):
            offset = abs(2 * facts.carriers[middle] - facts.carriers[low] - facts.carriers[high])
            if 100_000 <= offset < 400_000:
                found = (offset, tuple(sorted((middle, low, high))), middle)
                for name in found[1]:
                    best[name] = min(best.get(name, found), found)
    return set(best.values())


@given(st.lists(st.integers(0, 240), min_size=3, max_size=9))
@settings(max_examples=60, deadline=None)
def test_agrees_with_a_plain_search(tmp_path_factory: pytest.TempPathFactory, steps: list[int]) -> None:
    facts = facts_of(tmp_path_factory.mktemp("wide"), text_of([500_000 + 25 * step for step in steps]))
    found = nearest(facts)
    assert {(wide.offset_hz, wide.ids, wide.middle) for wide in found} == plain_search(facts)
    assert list(found) == sorted(found, key=lambda wide: (wide.offset_hz, wide.ids, wide.middle))


def test_widths_of_each_signal_count(tmp_path: Path) -> None:
    """Emissions of 200, 100 and 50 kHz: with the 100 in the middle the reach is (2 x 100 + 200 + 50) / 2 = 225 kHz."""
    text = """plan_format: 1
kind: plan
models: {a: {role: ear-transmitter, emission_khz: 200}, b: {role: ear-transmitter, emission_khz: 100}, c: {role: ear-transmitter, emission_khz: 50}}
devices: {A: {model: a}, B: {model: b}, C: {model: c}}
links:
  a: {kind: ear, tx: A, carrier_mhz: 500.000}
  b: {kind: ear, tx: B, carrier_mhz: 502.000}
  c: {kind: ear, tx: C, carrier_mhz: %s}
"""
    (found,) = nearest(facts_of(tmp_path, text % "504.224"))
    assert (found.text, found.reach_hz, found.width_hz) == ("2*b = a + c", 225_000, 400_000)
    assert nearest(facts_of(tmp_path, text % "504.225")) == ()
    assert nearest(facts_of(tmp_path, text % "504.100")) != (), (
        "the house's limit is 100 kHz, and at it this rule begins"
    )
    assert nearest(facts_of(tmp_path, text % "504.099")) == ()
