"""Spares against the definition: with all of them on at once, no relation and no pair within its limit.

The oracles are the brute force of tests/facts/test_relations.py and tests/assign/test_clash.py, which import nothing
of the engine, and the trial of every choice below.
"""

from __future__ import annotations

import signal
import threading
from itertools import combinations, permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.assign import spares as searched
from planlint.assign.spare_repack import repacked
from planlint.assign.spares import Effort, Ladder, SpareSearch
from planlint.facts import Facts
from planlint.facts.limits import hertz
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
    found = SpareSearch(facts_of(tmp_path, PLAN), "ear", Effort(60.0, rounds=2)).run(None)
    assert 12 <= len(found.spares) <= found.at_most
    assert _faults(found) == []
    assert not found.out_of_time
    again = SpareSearch(facts_of(tmp_path, PLAN), "ear", Effort(60.0, rounds=2, workers=2)).run(None)
    assert again == found


def test_ruined_and_recreated_sets_are_clear(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, PLAN)
    problem = SpareSearch(facts, "ear").problem
    found = repacked(problem, 99, 150, 0, lambda: False)
    assert found == repacked(problem, 99, 150, 0, lambda: False)
    assert len(found) >= 12
    spares = {f"s{index}": carrier for index, carrier in enumerate(found)}
    everyone = {"a": 489_000_000, "b": 491_300_000, "crew": 495_000_000, **spares}
    assert _worst({name: hz for name, hz in everyone.items() if name != "crew"}, set(spares), facts) >= 0
    assert len(repacked(problem, 5, 150, 0, lambda: False)) == 5
    assert len(repacked(problem, 99, 150, 0, lambda: True)) >= 8


def test_fewer_than_asked_come_with_a_bound(tmp_path: Path) -> None:
    found = SpareSearch(facts_of(tmp_path, PLAN), "ear", Effort(rounds=1, seconds=3.0)).run(200)
    assert 12 <= len(found.spares) <= found.at_most < 200
    assert not found.widest


def test_a_very_fine_raster(tmp_path: Path) -> None:
    plan = PLAN.replace(
        "{low: 488.000, high: 530.000}", "{low: 488.000, high: 509.000}, {low: 509.000001, high: 530.000}"
    )
    plan = plan.replace(
        "[{low: 478.000, high: 530.000}]", "[{low: 488.000, high: 509.000}, {low: 509.000001, high: 530.000}]"
    )
    facts = facts_of(tmp_path, plan)
    search = SpareSearch(facts, "ear", Effort(seconds=3.0))
    assert searched.raster_positions(search.problem) > searched.RASTER_MOST
    found = search.run(None)
    assert len(found.spares) >= 8
    spares = {f"s{index}": one.carrier_hz for index, one in enumerate(found.spares)}
    assert _worst({"a": 489_000_000, "b": 491_300_000, **spares}, set(spares), facts) >= 0


def test_an_interrupt_gives_the_best_so_far(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, PLAN)
    threading.Timer(1.5, signal.raise_signal, (signal.SIGINT,)).start()
    found = SpareSearch(facts, "ear", Effort(seconds=60.0)).run(None)
    assert found.interrupted
    assert len(found.spares) >= 8
    assert _faults(found) == []


def _worst(carriers: dict[str, int], spares: set[str], facts: Facts) -> int:
    """The least distance past a limit of anything a spare takes part in, all 200 kHz wide: the contract's sums."""
    pairs = (abs(carriers[a] - carriers[b]) - 400_000 for a, b in combinations(carriers, 2) if {a, b} & spares)
    worst = min(pairs, default=10**12)
    shapes = (
        ("two_signal_third", (2, -1, -1)), ("three_signal_third", (1, 1, -1, -1)), ("two_signal_fifth", (3, -2, -1)),
    )  # fmt: skip
    for kind, factors in shapes:
        limit = hertz(facts.plan, f"intermod_khz.{kind}", 200_000).hz
        for ids in permutations(carriers, len(factors)):
            if limit and spares & set(ids):
                offset = abs(sum(factor * carriers[name] for factor, name in zip(factors, ids, strict=True)))
                worst = min(worst, offset - limit)
    return worst


@settings(max_examples=40, deadline=None, derandomize=True, database=None)
@given(st.data())
def test_every_choice_was_tried(tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    live = data.draw(st.lists(st.integers(-10, 40), min_size=0, max_size=3, unique=True))
    third = data.draw(st.sampled_from([25, 60, 100]))
    step, wide = data.draw(st.sampled_from([(200, 18), (125, 24), (350, 12)]))
    number = data.draw(st.integers(1, 3))
    facts = facts_of(
        tmp_path_factory.mktemp("plan"),
        "plan_format: 1\nkind: plan\n"
        f"policy: {{intermod_khz: {{two_signal_third: {third}, three_signal_third: {third}}}}}\n"
        f"models: {{t: {{role: ear-transmitter, step_khz: {step}, emission_khz: 200,"
        f" tuning_mhz: [{{low: 500.000, high: {500 + step * wide / 1000:.3f}}}]}}}}\n"
        "devices: {T: {model: t}}\nlinks:\n  none: {kind: ear, tx: T, carrier_mhz: auto}\n"
        + "".join(f"  l{at}: {{kind: ear, carrier_mhz: {500 + at * 0.125:.3f}}}\n" for at in live),
    )
    on = {f"l{at}": 500_000_000 + at * 125_000 for at in live}
    choices = [500_000_000 + 1000 * step * index for index in range(wide + 1)]

    def worst(chosen: tuple[int, ...]) -> int:
        spares = {f"s{index}": carrier for index, carrier in enumerate(chosen)}
        return _worst({**on, **spares}, set(spares), facts)

    best = {size: max(map(worst, combinations(choices, size)), default=-1) for size in range(1, number + 1)}
    most = max((size for size in best if best[size] >= 0), default=0)
    found = SpareSearch(facts, "ear").run(number)
    assert len(found.spares) == most
    assert found.at_most == most
    if most:
        margins = [one.margin_hz for one in found.spares if one.margin_hz is not None]
        assert min(margins, default=10**12) == worst(tuple(one.carrier_hz for one in found.spares))
        if most == number:
            assert found.widest
            assert min(margins, default=10**12) == best[number]


def test_links_that_no_spare_is_for_are_named(tmp_path: Path) -> None:
    plan = PLAN.replace(
        "models:\n", "models:\n  low: {role: ear-transmitter, tuning_mhz: [{low: 470.000, high: 476.000}]}\n"
    )
    plan = plan.replace("TB: {model: t}", "TB: {model: t}, TC: {model: low}")
    found = SpareSearch(facts_of(tmp_path, f"{plan}  c: {{kind: ear, tx: TC, carrier_mhz: 471.000}}\n"), "ear").run(2)
    assert found.left_out == ("c",)
    assert {one.links for one in found.spares} == {("a", "b")}


@pytest.mark.parametrize("kind", ["ear", "mic"])
def test_a_plan_without_links(tmp_path: Path, kind: str) -> None:
    facts = facts_of(tmp_path, "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: []}\n")
    found = SpareSearch(facts, "ear" if kind == "ear" else "mic").run(3)
    assert len(found.spares) == 3
    assert found.assumed
