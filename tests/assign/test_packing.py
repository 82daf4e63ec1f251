"""Spares as a packing against the air: the same carriers are out, spare by spare, for random plans.

`Air.blocked` is the judge here; tests/assign/test_clash.py holds it against a brute force from the contract's equations.
"""

from __future__ import annotations

import random
import tempfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.assign.packing import air_with_spares, spare_packing
from planlint.assign.raster.board import Board
from planlint.assign.raster.problem import Fixed
from planlint.facts import Facts
from planlint.rf.intermodulation import Limits
from tests.facts.test_relations import Setup, setups, text_of
from tests.plans import facts_of


def _facts(setup: Setup, mics: set[str], ear_to_mic_khz: int) -> Facts:
    text = text_of(setup)
    for name in mics & setup.links.keys():
        text = text.replace(f"  {name}: {{kind: ear,", f"  {name}: {{kind: mic,")
    policy = f"spacing_khz: {{ear_to_mic: {ear_to_mic_khz}}}"
    text = text.replace("policy: {", f"policy: {{{policy}, ") if setup.limits else f"{text}policy: {{{policy}}}\n"
    with tempfile.TemporaryDirectory() as folder:
        return facts_of(Path(folder), text)


@settings(max_examples=150, deadline=None, derandomize=True, database=None)
@given(
    setups(),
    st.sets(st.sampled_from(["e0", "e1", "E-1"])),
    st.sampled_from([0, 700]),
    st.randoms(use_true_random=False),
)
def test_the_same_carriers_are_out(setup: Setup, mics: set[str], ear_to_mic_khz: int, rng: random.Random) -> None:
    facts = _facts(setup, mics, ear_to_mic_khz)
    low = 1000 * (min({*setup.links.values(), *setup.others.values()}) - 1_000)
    allowed = [low + 25_000 * step for step in range(160)]
    problem = spare_packing(facts, "ear", allowed).problem
    air, names = air_with_spares(facts, "ear", 6)
    board = Board(problem)
    state, placed = board.start, dict(facts.carriers)
    line = np.array(allowed, dtype=np.int64)
    for name in names:
        blocked = air.blocked(name, line, placed)
        told = [not state.free[0] >> (carrier - board.raster.origin) // board.raster.step & 1 for carrier in allowed]
        assert told == blocked.tolist()
        left = line[~blocked].tolist()
        if not left:
            break
        carrier = rng.choice(left)
        placed[name] = carrier
        state = board.masks.add(state, (carrier - board.raster.origin) // board.raster.step)


def test_each_carrier_brings_its_limits(tmp_path: Path) -> None:
    facts = facts_of(
        tmp_path,
        "plan_format: 1\nkind: plan\npolicy: {intermod_khz: {three_signal_third: 40}, spacing_khz: {ear_to_mic: 900}}\n"
        "models: {e: {role: ear-transmitter, emission_khz: 200}, m: {role: mic-transmitter, emission_khz: 120}}\n"
        "devices: {TE: {model: e}, TM: {model: m}}\n"
        "links:\n  ear: {kind: ear, tx: TE, carrier_mhz: 500.000}\n  mic: {kind: mic, tx: TM, carrier_mhz: 510.000}\n"
        "  away: {kind: mic}\n"
        "carriers: {away: {unused: ill}}\n"
        "spectrum: {others_on_air: {crew: {carrier_mhz: 520.000, emission_khz: 250, kind: comms}}}\n",
    )
    wanted = spare_packing(facts, "ear")
    problem = wanted.problem
    # the contract: like kinds keep 2B; unwritten guards are B/2, B/4, B/4, off; others half of both emissions
    assert problem.spacing == 400_000
    assert problem.guards == Limits(100_000, 40_000, 50_000, 0)
    assert wanted.fixed == ("crew", "ear", "mic")
    crew, ear, mic = problem.fixed
    assert crew == Fixed(520_000_000, Limits(125_000, 40_000, 62_500, 0), 225_000)
    assert (ear.spacing, mic.spacing) == (400_000, 900_000)
    assert mic.guards == problem.guards  # its own, of 60 and 30 kHz, say nothing beside a spare's
    assert problem.together == (frozenset({0, 1, 2}),)


def test_carriers_that_all_links_may_take(tmp_path: Path) -> None:
    facts = facts_of(
        tmp_path,
        "plan_format: 1\nkind: plan\n"
        "models:\n"
        "  low: {role: ear-transmitter, step_khz: 25, tuning_mhz: [{low: 470.000, high: 480.000}]}\n"
        "  high: {role: ear-transmitter, step_khz: 25, tuning_mhz: [{low: 475.000, high: 490.000}]}\n"
        "devices: {A: {model: low}, B: {model: high}}\n"
        "links: {a: {kind: ear, tx: A}, b: {kind: ear, tx: B}}\n",
    )
    wanted = spare_packing(facts, "ear")
    assert wanted.problem.allowed == tuple(range(475_000_000, 480_000_001, 25_000))
    assert set(wanted.links.values()) == {("a", "b")}
    assert wanted.problem.fixed == ()
    with pytest.raises(ValueError, match="rising"):
        spare_packing(facts, "ear", [2, 1])
