"""What is nearest to one carrier, and the nearest carriers that pass, against the contract's definition.

Pairs: ears keep 2B, a link and somebody else half of both emissions. Relations: the brute force of
tests/facts/test_relations.py. Neither imports the engine.
"""

from __future__ import annotations

import tempfile
from decimal import Decimal
from itertools import combinations, permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.assign.ask import look, no_way, way_out
from tests.assign.test_clash import out
from tests.facts.test_relations import Setup, sets_of, setups, text_of
from tests.plans import facts_of

KINDS = {"two_signal_third": 2, "three_signal_third": 4, "two_signal_fifth": 4, "three_signal_fifth": 0}
SHAPES = [
    ("two_signal_third", (2, -1, -1)),
    ("three_signal_third", (1, 1, -1, -1)),
    ("two_signal_fifth", (3, -2, -1)),
    ("three_signal_fifth", (2, 1, -2, -1)),
    ("three_signal_fifth", (3, -1, -1, -1)),
]


def _margin(setup: Setup, name: str) -> Decimal | None:
    """The least distance past its limit, in kHz, of anything that an id takes part in; None: nothing has a limit."""
    carriers = {**setup.links, **setup.others}
    found = []
    for ids in sets_of(setup):
        if name not in ids:
            continue
        for first, second in combinations(sorted(ids), 2):
            if name in (first, second) and not {first, second} <= setup.others.keys():
                widths = [setup.widths[first], setup.widths[second]]
                theirs = {first, second} & setup.others.keys()
                limit = Decimal(sum(widths)) / 2 if theirs else Decimal(2 * max(widths))
                found.append(abs(carriers[first] - carriers[second]) - limit)
        for kind, factors in SHAPES:
            for who in permutations(sorted(ids), len(factors)):
                widest = max(setup.widths[one] for one in who)
                limit = Decimal(setup.limits[kind]) if kind in setup.limits else Decimal(0)
                if kind not in setup.limits and KINDS[kind]:
                    limit = Decimal(widest) / KINDS[kind]
                if name in who and limit:
                    offset = abs(sum(factor * carriers[one] for factor, one in zip(factors, who, strict=True)))
                    found.append(offset - limit)
    return min(found, default=None)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(setups(), st.data())
def test_the_nearest_thing_has_the_margin(setup: Setup, data: st.DataObject) -> None:
    if not setup.links:
        return
    name = data.draw(st.sampled_from(sorted(setup.links)))
    if not any(name in ids for ids in sets_of(setup)):
        return
    khz = data.draw(st.sampled_from([setup.links[name], 499_975, 500_200, 501_000]))
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text_of(setup))
    found = look(facts, name, 1000 * khz)
    moved = setup._replace(links={**setup.links, name: khz})
    least = _margin(moved, name)
    assert (found.margin_hz, found.nearest is None) == (None if least is None else least * 1000, least is None)
    assert (bool(found.clashes) or bool(found.relations)) == out(moved, name)
    if found.nearest is not None:
        assert name in found.nearest.ids
        assert found.nearest.offset_hz - found.nearest.limit_hz == found.margin_hz
        _recount(found.nearest.text, found.nearest.offset_hz, {**moved.links, **moved.others})


def _recount(text: str, offset_hz: int, carriers: dict[str, int]) -> None:
    if " = " not in text:
        return
    total = 0
    for sign, side in zip((1, -1), text.split(" = "), strict=True):
        for term in side.split(" + "):
            factor, _, name = term.rpartition("*")
            total += sign * int(factor or 1) * carriers[name]
    assert abs(total) * 1000 == offset_hz


@settings(max_examples=25, deadline=None, derandomize=True, database=None)
@given(setups(), st.integers(0, 120))
def test_the_nearest_that_pass(setup: Setup, steps: int) -> None:
    names = [name for name in sorted(setup.links) if all(name in ids for ids in sets_of(setup))]
    if not names:
        return
    name, asked = names[0], 499_000 + 25 * steps
    low, high, step = 498_000, 503_000, 25
    text = text_of(setup).replace(
        "role: ear-transmitter,", "role: ear-transmitter, tuning_mhz: [{low: 498.000, high: 503.000}], step_khz: 25,"
    )
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text)
    found = look(facts, name, 1000 * asked)
    passes = [
        khz for khz in range(low, high + 1, step) if not out(setup._replace(links={**setup.links, name: khz}), name)
    ]
    below = max((1000 * khz for khz in passes if khz < asked), default=None)
    above = min((1000 * khz for khz in passes if khz > asked), default=None)
    assert (found.below_hz, found.above_hz) == (below, above)


PLAN = """\
plan_format: 1
kind: plan
models: {t: {role: ear-transmitter, tuning_mhz: [{low: 500.000, high: 504.000}], step_khz: 25, emission_khz: 200}}
devices: {TA: {model: t}, TB: {model: t}, TC: {model: t}}
"""


def test_a_stand_in_is_looked_at_as_if_it_were_on(tmp_path: Path) -> None:
    links = "links:\n  a: {kind: ear, tx: TA, carrier_mhz: 500.000}\n"
    links += "  b: {kind: ear, tx: TB, stands_in_for: a, carrier_mhz: 502.000}\n"
    found = look(facts_of(tmp_path, PLAN + links), "b", 500_300_000)
    assert (found.margin_hz, [clash.ids for clash in found.clashes]) == (-100_000, [("a", "b")])


def test_links_of_one_wide_emission_move_together(tmp_path: Path) -> None:
    links = "links:\n  a: {kind: ear, tx: TA, packs: {PA: {}}, wide_emission: w, carrier_mhz: 500.000}\n"
    links += "  b: {kind: ear, tx: TA, packs: {PB: {}}, wide_emission: w, carrier_mhz: 500.000}\n"
    links += "  c: {kind: ear, tx: TC, carrier_mhz: 503.000}\n"
    plan = PLAN.replace("TC: {model: t}", "TC: {model: t}, PA: {model: p}, PB: {model: q}").replace(
        "models: {", "models: {p: {role: ear-pack}, q: {role: ear-pack, tuning_mhz: [{low: 500.000, high: 502.000}]}, "
    )
    facts = facts_of(tmp_path, plan + links)
    for name, other in (("a", "b"), ("b", "a")):
        found = look(facts, name, 502_500_000)
        assert found.with_it == (other,)
        assert [reason.rule for reason in found.reasons] == ["carrier-out-of-tuning"]  # of PB, whichever is asked for
        assert found.below_hz == 502_000_000
        assert {one.unit: one.tunes for one in found.around.units} == {"TA": True, "PA": None, "PB": False}
        way = way_out(facts, name)
        assert way is not None
        assert {touch.unit for touch in way.touches} == {"TA", "PA", "PB"}
        assert way.carrier_hz <= 502_000_000


@pytest.mark.parametrize("spare", ["502.500", "500.100"])
def test_no_way_out_gives_none(tmp_path: Path, spare: str) -> None:
    narrow = PLAN.replace("high: 504.000", "high: 500.200")
    links = "links:\n  a: {kind: ear, tx: TA, carrier_mhz: 500.000}\n  b: {kind: ear, tx: TB, carrier_mhz: 500.200}\n"
    facts = facts_of(tmp_path, f"{narrow}{links}spares_mhz: {{ear: [{spare}]}}\n")
    assert way_out(facts, "a") is None
    assert no_way(facts, "a") == (9, {}, 9)
