"""A wide emission counts as one carrier: the same plan with one link in place of many says the same."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.plans import facts_of

QUICK = settings(max_examples=60, deadline=None, derandomize=True, database=None)


def plan(wide: int, carrier_khz: int, others_khz: list[int]) -> str:
    """One wide emission of some links, and other links; `wide` 1 is the same plan with a plain link."""
    links = [
        f"  a{n}: {{kind: ear, tx: TX, {'wide_emission: W, ' if wide > 1 else ''}carrier_mhz: {carrier_khz / 1000:.3f}}}"
        for n in range(wide)
    ]
    links += [f"  z{n}: {{kind: mic, carrier_mhz: {khz / 1000:.3f}}}" for n, khz in enumerate(others_khz)]
    return "plan_format: 1\nkind: plan\ndevices: {TX: {}}\nlinks:\n" + "\n".join(links) + "\n"


@QUICK
@given(st.integers(2, 5), st.integers(480, 520), st.lists(st.integers(480, 520), min_size=1, max_size=5, unique=True))
def test_many_links_in_one_emission_make_the_relations_of_one(wide: int, carrier: int, others: list[int]) -> None:
    khz = [each * 1000 for each in others]
    with tempfile.TemporaryDirectory() as folder:
        many = facts_of(Path(folder), plan(wide, carrier * 1000, khz))
        found = {(named.kind, named.text, named.offset_hz, named.limit_hz) for named in many.relations}
        one = facts_of(Path(folder), plan(1, carrier * 1000, khz))
        assert found == {(named.kind, named.text, named.offset_hz, named.limit_hz) for named in one.relations}
        assert many.together == one.together
        assert {frozenset(ids) for ids in many.present} != {frozenset(ids) for ids in one.present}


def test_the_first_link_with_a_carrier_stands_for_all(tmp_path: Path) -> None:
    text = """plan_format: 1
kind: plan
links:
  a: {kind: ear, wide_emission: W, carrier_mhz: auto}
  b: {kind: ear, wide_emission: W, carrier_mhz: 505.300}
  c: {kind: ear, wide_emission: W, carrier_mhz: 505.300}
day:
  - {what: first half, at: "19:00", until: "20:00", on_air: [c]}
  - {what: second half, at: "20:00", until: "21:00", on_air: [a, b]}
"""
    facts = facts_of(tmp_path, text)
    assert facts.leaders == {"a": "b", "b": "b", "c": "b"}
    assert set(facts.together) == {frozenset({"b"})}
    assert set(facts.present) == {frozenset({"a", "b"}), frozenset({"c"})}
    assert not facts.meet("a", "c")


def test_unused_links_stand_for_nothing(tmp_path: Path) -> None:
    text = """plan_format: 1
kind: plan
links: {a: {kind: ear, wide_emission: W}, b: {kind: ear, wide_emission: W}}
carriers: {a: {unused: no guest tonight}, b: {carrier_mhz: 505.300}}
"""
    assert facts_of(tmp_path, text).leaders == {"b": "b"}
