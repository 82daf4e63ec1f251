"""Self-tuning sets: how many channels are taken at once, against a brute force by the minute; no carrier anywhere."""

from __future__ import annotations

import tempfile
from pathlib import Path

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.facts.self_tuning import bands, most_at_once, sets
from tests.plans import facts_of

QUICK = settings(max_examples=100, deadline=None, derandomize=True, database=None)
SETS = st.lists(st.tuples(st.integers(0, 600), st.integers(1, 300), st.integers(1, 9)), min_size=1, max_size=5)


def clock(minute: int) -> str:
    return f"{10 + minute // 60:02}:{minute % 60:02}"


@QUICK
@given(SETS)
def test_channels_taken_at_once_against_every_minute(spans: list[tuple[int, int, int]]) -> None:
    spans = [(start, min(start + length, 13 * 60), takes) for start, length, takes in spans]
    others = {
        f"o{number}": {"self_tuned": "u", "takes_channels": takes, "at": clock(start), "until": clock(end)}
        for number, (start, end, takes) in enumerate(spans)
    }
    text = {
        "plan_format": 1,
        "kind": "plan",
        "spectrum": {"self_tuning_bands": {"u": {"low_mhz": 1785, "high_mhz": 1805}}, "others_on_air": others},
        "day": [{"what": "a day", "at": "10:00", "until": "23:30"}],
    }
    most = max(sum(takes for start, end, takes in spans if start <= minute < end) for minute in range(14 * 60))
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), yaml.safe_dump(text))
        found = most_at_once(facts, sets(facts.plan))
        assert sum(one.takes or 0 for one in found) == most


def test_a_set_without_a_carrier_is_in_no_sum_and_lacks_none(tmp_path: Path) -> None:
    text = """plan_format: 1
kind: plan
spectrum:
  self_tuning_bands: {u: {low_mhz: 1785.000, high_mhz: 1805.000}}
  others_on_air: {house: {self_tuned: u}, plain: {carrier_mhz: 528.050}}
links: {calls: {kind: comms, self_tuned: u}, mic: {kind: mic, carrier_mhz: 561.900}, odd: {kind: mic, self_tuned: u, carrier_mhz: 562.900}}
"""
    facts = facts_of(tmp_path, text)
    assert set(facts.carriers) == {"plain", "mic", "odd"}
    assert [one.id for one in sets(facts.plan)] == ["calls", "house"]
    assert {name: link.wants_carrier for name, link in facts.plan.links.items()} == {
        "calls": False,
        "mic": True,
        "odd": True,
    }
    (band,) = bands(facts.plan).values()
    assert (band.low_hz, band.high_hz) == (1_785_000_000, 1_805_000_000)
    edges = (
        (1_784_000_000, 1_785_000_000, False),
        (1_784_000_000, 1_785_000_001, True),
        (1_805_000_000, 1_806_000_000, False),
    )
    assert [band.overlaps(low, high) for low, high, _ in edges] == [inside for *_, inside in edges]
