"""Plain numbers stay plain, arrays broadcast, and nothing loads numpy unasked."""

import subprocess
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from planlint.rf import (
    audio,
    cells,
    chain,
    coax,
    decibel,
    elementwise,
    exposure,
    fading,
    hearing,
    isolation,
    noise,
    propagation,
)

FUNCTIONS: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (decibel.mw_to_dbm, (50.0,)),
    (decibel.dbm_to_mw, (17.0,)),
    (decibel.volts_to_dbu, (1.2,)),
    (decibel.dbu_to_volts, (4.0,)),
    (decibel.dbm_to_dbuv, (-80.0, 50.0)),
    (propagation.free_space_loss_db, (12.0, 530e6)),
    (propagation.free_space_distance_m, (60.0, 530e6)),
    (propagation.reach_factor, (6.99, 3.5)),
    (isolation.horizontal_isolation_db, (3.0, 530e6, 2.15, 6.0)),
    (isolation.vertical_isolation_db, (3.0, 530e6)),
    (noise.thermal_noise_dbm, (200e3, 290.0)),
    (noise.noise_floor_dbm, (200e3, 6.0)),
    (chain.received_dbm, (17.0, 57.0, 20.0, 2.15, 3.0)),
    (fading.rayleigh_outage, (10.0,)),
    (fading.rayleigh_margin_db, (0.01,)),
    (hearing.earphone_level_db_spl, (-4.0, 24.0, 112.0)),
    (hearing.ceiling_db_spl, (-4.0, -12.0, 24.0, 112.0)),
    (hearing.source_loss_db, (10.0, 16.0)),
    (hearing.peak_db, (140.0,)),
    (cells.alkaline_aa_capacity_mah, (150.0,)),
    (cells.run_time_h, (2000.0, 150.0, 0.8)),
    (audio.dbu_to_dbv, (4.0,)),
    (exposure.far_field_m, (530e6,)),
]


@pytest.mark.parametrize(("function", "arguments"), FUNCTIONS, ids=lambda value: getattr(value, "__name__", ""))
def test_arrays_broadcast(function: Callable[..., Any], arguments: tuple[float, ...]) -> None:
    """One number gives a plain float; a row and a column give the grid of the same values."""
    plain = function(*arguments)
    assert type(plain) is float
    shapes = [(2, 1), (1, 3), (1, 1), (1, 1), (1, 1)]
    grids = [
        np.full(shape, argument, dtype=float)
        for shape, argument in zip(shapes[: len(arguments)], arguments, strict=True)
    ]
    result = function(*grids)
    assert result.shape == np.broadcast_shapes(*(grid.shape for grid in grids))
    assert result == pytest.approx(np.full(result.shape, plain), rel=1e-12)


def test_arrays_through_coax_and_exposure() -> None:
    lengths: Any = np.array([0.0, 10.0, 30.0])
    expected = [coax.coax_loss_db("rg-58", length, 530e6) for length in lengths.tolist()]
    assert coax.coax_loss_db("rg-58", lengths, 530e6) == pytest.approx(expected)
    powers: Any = np.array([0.0, 50.0, 5000.0])
    found = exposure.exposure_distance(powers, 530e6, "fcc-public")
    single = [exposure.exposure_distance(power, 530e6, "fcc-public") for power in powers.tolist()]
    assert found.distance_m == pytest.approx([one.distance_m for one in single])


@pytest.mark.parametrize(
    ("check", "name", "bad"),
    [
        (lambda value: elementwise.require_positive(length_m=value), "length_m", 0),
        (lambda value: elementwise.require_not_negative(length_m=value), "length_m", -1e-9),
        (lambda value: elementwise.require_between(1, 2, length_m=value), "length_m", 2.1),
        (lambda value: elementwise.require_between(1, 2, length_m=value), "length_m", 0.9),
        (lambda value: elementwise.require_positive(length_m=value), "length_m", float("nan")),
    ],
)
def test_bad_numbers_are_named(check: Callable[[Any], None], name: str, bad: float) -> None:
    with pytest.raises(ValueError, match=name):
        check(bad)
    with pytest.raises(ValueError, match=name):
        check(np.array([1.5, bad]))
    check(1.5)
    check(np.array([1.5, 1.0, 2.0]))


def test_ends_of_a_range_are_in_it() -> None:
    elementwise.require_between(1, 2, a=1, b=2)
    elementwise.require_not_negative(a=0)


def test_plain_numbers_do_not_load_numpy() -> None:
    code = """
import sys
from planlint.rf import audio, cells, chain, coax, decibel, exposure, fading, hearing, intercept, isolation
from planlint.rf import noise, propagation, splitter
propagation.free_space_loss_db(10, 530e6), isolation.vertical_isolation_db(3, 530e6)
noise.noise_floor_dbm(2e5, 6), coax.coax_loss_db("rg-58", 10, 530000000), fading.rayleigh_margin_db(0.01, 2)
exposure.exposure_distance(50, 530e6, "fcc-public"), hearing.allowed_time(100, "niosh")
print("numpy" in sys.modules)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
