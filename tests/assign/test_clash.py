"""Masks against the definition: a candidate is out exactly where the plan with it shows a fault that it takes part in.

The oracle for relations is the brute force of tests/facts/test_relations.py, written from the contract's equations;
the one for pairs stands here, from the contract's rulings. Neither imports the engine.
"""

from __future__ import annotations

import tempfile
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.assign.clash import Air
from planlint.facts import Facts
from tests.facts.test_relations import Setup, oracle, sets_of, setups, text_of
from tests.plans import facts_of


def near_pairs(setup: Setup) -> set[tuple[str, str]]:
    """Pairs with a link that are too near: ears 2B apart, a link and somebody else half of both emissions."""
    carriers = {**setup.links, **setup.others}
    found = set()
    for ids in sets_of(setup):
        for first, second in combinations(sorted(ids), 2):
            theirs = [name for name in (first, second) if name in setup.others]
            if len(theirs) == 2:
                continue
            widths = [setup.widths[first], setup.widths[second]]
            limit = Fraction(sum(widths), 2) if theirs else Fraction(2 * max(widths))
            gap = abs(carriers[first] - carriers[second])
            if gap < limit or gap == 0:
                found.add((first, second))
    return found


def out(setup: Setup, name: str) -> bool:
    """Whether the contract finds a fault that an id takes part in."""
    related = any(name in row[1].replace("*", " ").split() for row in oracle(setup, sets_of(setup)))
    return related or any(name in pair for pair in near_pairs(setup))


def _moved(setup: Setup, name: str, khz: int) -> Setup:
    return setup._replace(links={**setup.links, name: khz})


@settings(max_examples=120, deadline=None, derandomize=True, database=None)
@given(setups(), st.data())
def test_a_candidate_is_out_iff_it_makes_a_fault(setup: Setup, data: st.DataObject) -> None:
    if not setup.links:
        return
    name = data.draw(st.sampled_from(sorted(setup.links)))
    around = sorted({*setup.links.values(), *setup.others.values()})
    tries = sorted(
        {khz + by for khz in around for by in (-400, -325, -75, 0, 25, 100, 425)} | set(range(499_000, 499_200, 50))
    )
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text_of(setup))
    air = Air(facts)
    placed = {other: hz for other, hz in facts.carriers.items() if other != name}
    candidates = np.array([1000 * khz for khz in tries], dtype=np.int64)
    blocked = air.blocked(name, candidates, placed)
    told = {khz: bool(flag) for khz, flag in zip(tries, blocked, strict=True)}
    assert told == {khz: out(_moved(setup, name, khz), name) for khz in tries}
    step_by_step = np.zeros(len(candidates), dtype=bool)
    so_far: dict[str, int] = {}
    for other in sorted(placed):
        so_far[other] = placed[other]
        step_by_step |= air.blocked(name, candidates, so_far, new=other)
    assert (step_by_step == blocked).all()
    for khz in tries[::7]:
        assert (air.margin(name, {**placed, name: 1000 * khz}) < 0) == told[khz]


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(setups())
def test_clashes_are_those_of_the_definition(setup: Setup) -> None:
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text_of(setup))
    found = Air(facts).clashes(facts.carriers)
    assert {clash.ids for clash in found if not clash.rule.startswith("intermod")} == near_pairs(setup)
    assert sorted(clash.text for clash in found if clash.rule.startswith("intermod")) == sorted(
        row[1] for row in oracle(setup, sets_of(setup)).elements()
    )


def test_a_limit_met_exactly_is_clear(tmp_path: Path) -> None:
    facts: Facts = facts_of(
        tmp_path, "plan_format: 1\nkind: plan\nlinks:\n  a: {kind: ear, carrier_mhz: 500.000}\n  b: {kind: ear}\n"
    )
    blocked = Air(facts).blocked("b", np.array([500_399_999, 500_400_000], dtype=np.int64), facts.carriers)
    assert list(blocked) == [True, False]


def test_ears_and_microphones_keep_the_house_spacing(tmp_path: Path) -> None:
    facts = facts_of(
        tmp_path,
        "plan_format: 1\nkind: plan\npolicy: {spacing_khz: {ear_to_mic: 3000}}\n"
        "links:\n  a: {kind: ear, carrier_mhz: 500.000}\n  b: {kind: mic}\n",
    )
    blocked = Air(facts).blocked("b", np.array([502_999_999, 503_000_000], dtype=np.int64), facts.carriers)
    assert list(blocked) == [True, False]
