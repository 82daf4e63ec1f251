"""Spares against the definition: with all of them on at once, no relation and no pair within its limit.

The oracle is the brute force of tests/facts/test_relations.py and tests/assign/test_clash.py; neither imports the engine.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.assign.place import Clock
from planlint.assign.spares import Ladder, SpareSearch
from tests.assign.test_clash import near_pairs
from tests.facts.test_relations import Setup, oracle, sets_of
from tests.plans import facts_of

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [19, 20, 22], others_on_air: {crew: {carrier_mhz: 495.000, emission_khz: 200, kind: comms}}}
models:
  t: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 530.000}], step_khz: 25, emission_khz: 200}
  p: {role: ear-pack, tuning_mhz: [{low: 488.000, high: 530.000}], step_khz: 25}
devices: {TA: {model: t}, TB: {model: t}, PB: {model: p}}
links:
  a: {kind: ear, tx: TA, carrier_mhz: 489.000}
  b: {kind: ear, tx: TB, packs: {PB: {}}, carrier_mhz: 491.300}
"""
LIVE = {"a": 489_000, "b": 491_300}


def _faults(found: Ladder) -> list[object]:
    spares = {f"s{index}": one.carrier_hz // 1000 for index, one in enumerate(found.spares)}
    links = {**LIVE, **spares}
    setup = Setup(links, {"crew": 495_000}, dict.fromkeys([*links, "crew"], 200), {}, [])
    related = [
        row for row in oracle(setup, sets_of(setup)) if any(name in row[1].replace("*", " ").split() for name in spares)
    ]
    return [*related, *(pair for pair in near_pairs(setup) if set(pair) & spares.keys())]


def test_spares_are_clear_with_all_and_each_other(tmp_path: Path) -> None:
    found = SpareSearch(facts_of(tmp_path, PLAN), "ear").run(6)
    assert len(found.spares) == 6
    assert _faults(found) == []
    for one in found.spares:
        khz = one.carrier_hz // 1000
        assert 488_000 <= khz <= 530_000
        assert khz % 25 == 0
        assert one.links == ("a", "b")
        for low in (500_000, 506_000, 518_000):  # TV 19, 20, 22: 47 CFR 73.603(a); guard 100 kHz, common practice
            assert khz + 100 <= low - 100 or khz - 100 >= low + 6_000 + 100
    margins = [one.margin_hz for one in found.spares]
    assert all(margin is not None and margin >= 0 for margin in margins)
    assert margins == sorted(margins, key=lambda margin: -(margin or 0))
    assert found == SpareSearch(facts_of(tmp_path, PLAN), "ear").run(6)


def test_fewer_spares_have_more_margin(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, PLAN)
    few, many = SpareSearch(facts, "ear").run(2), SpareSearch(facts, "ear").run(8)
    assert min(one.margin_hz or 0 for one in few.spares) >= min(one.margin_hz or 0 for one in many.spares)


def test_as_many_as_fit(tmp_path: Path) -> None:
    found = SpareSearch(facts_of(tmp_path, PLAN), "ear", clock=Clock(2.0)).run(None)
    assert len(found.spares) >= 12
    assert _faults(found) == []


@pytest.mark.parametrize("kind", ["ear", "mic"])
def test_a_plan_without_links(tmp_path: Path, kind: str) -> None:
    facts = facts_of(tmp_path, "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: []}\n")
    found = SpareSearch(facts, "ear" if kind == "ear" else "mic").run(3)
    assert len(found.spares) == 3
    assert found.assumed
