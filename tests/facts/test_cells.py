"""Cells counted by hand, and chargers against a brute force by the minute."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.facts.cells import needs, per_day
from planlint.facts.runtime import runners
from planlint.rules.day.charger_slots import _filled
from tests.plans import plan_of

TEXT = """plan_format: 1
kind: plan
models: {pack: {role: ear-pack, cells: {size: AA, count: 2}}, hand: {role: mic-transmitter, cells: {size: AA, count: 2}},
         small: {role: mic-transmitter, cells: {size: AAA, count: 3}}}
pack_defaults: {cells: nimh}
devices: {P1: {model: pack}, P2: {model: pack}, P3: {model: pack}, S: {model: pack}, H1: {model: hand, cells: alkaline},
          B1: {model: small, cells: alkaline}}
links:
  e1: {kind: ear, packs: {P1: {}, P2: {}, S: {stands_in_for: P1}}}
  e2: {kind: ear, packs: {P3: {}}}
  m1: {kind: mic, mic: H1}
  m2: {kind: mic, mic: B1}
day:
  - {what: packs on, at: "15:30"}
  - {what: cell swap, at: "18:30"}
  - {what: cell swap, at: "20:00", units: all}
  - {what: cell swap, at: "21:00", units: [H1, B1]}
  - {what: show, at: "21:10", until: "22:45"}
"""


def test_a_day_by_hand(tmp_path: Path) -> None:
    """Packs change at 18:30 and 20:00: 3 x 2 x 2 = 12; H1 at 20:00 and 21:00: 2 x 2 = 4; B1 the same: 3 x 2 = 6."""
    plan = plan_of(tmp_path, TEXT)
    aa, aaa = needs(plan, list(runners(plan)))
    assert (aa.size, aa.changed, aa.rechargeable, aa.units) == ("AA", 16, 12, ("H1", "P1", "P2", "P3"))
    assert (aaa.size, aaa.changed, aaa.rechargeable) == ("AAA", 6, 0)
    assert [aa.over(1), aa.over(3)] == [16, 12 + 3 * 4]  # rechargeable cells come back
    assert per_day(plan, list(runners(plan)), "AA") == 3 * 2 * 3  # three packs, one set and two changes
    assert per_day(plan, list(runners(plan)), "AAA") == 0


@settings(max_examples=200, deadline=None, derandomize=True, database=None)
@given(st.lists(st.tuples(st.integers(1, 8), st.integers(1, 40)), max_size=3), st.integers(-60, 900))
def test_chargers_against_a_brute_force_by_the_minute(chargers: list[tuple[int, int]], gap: int) -> None:
    """Each charger is filled, waited for and filled again; a fill that is not done in time does not count."""
    filled = 0
    for slots, steps in chargers:
        waited = 0
        for _ in range(gap):
            waited += 1
            if waited == 3 * steps:
                filled += slots
                waited = 0
    written = [{"slots": slots, "charge_h": Decimal("0.05") * steps} for slots, steps in chargers]  # 0.05 h: 3 min
    assert _filled(written, gap) == filled
