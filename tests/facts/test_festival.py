"""Acts, changeovers, capacity: against brute forces by the minute and by the kHz, and the standard library's datetime."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from itertools import combinations, permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.facts.capacity import Room, count, merged, plain_search, without
from planlint.facts.changeover import Entry, late_min
from planlint.facts.festival import overlap
from planlint.plan.build_acts import times
from planlint.plan.model import Act, Range
from planlint.rf.clear_span import least_span, most_within
from tests.plans import facts_of, plan_of

MIDNIGHT = datetime.fromisoformat("2026-03-14T00:00")
QUICK = settings(max_examples=200, deadline=None, derandomize=True, database=None)


def act(start: int | None, end: int | None) -> Act:
    return Act("a", None, (), start, start, end, {}, "/acts/a")


# ------------------------------------------------------------------------------------------------- times


@QUICK
@given(st.integers(6 * 60, 30 * 60 - 1), st.lists(st.integers(0, 24 * 60 - 1), min_size=2, max_size=2))
def test_times_across_midnight_are_those_of_the_calendar(first: int, gaps: list[int]) -> None:
    """From 06:00 of the show's date to 05:59 of the night after, against the standard library."""
    moments = [MIDNIGHT + timedelta(minutes=first)]
    for gap in gaps:
        moments.append(moments[-1] + timedelta(minutes=gap))
    found = times(*(f"{moment:%H:%M}" for moment in moments))
    assert found == [int((moment - MIDNIGHT) / timedelta(minutes=1)) for moment in moments]


def test_an_act_gives_its_times_to_carriers_that_have_none(tmp_path: Path) -> None:
    text = (
        "plan_format: 1\nkind: plan\nspectrum: {others_on_air: {own: {at: '18:00', until: '19:00'}, theirs: {}, free: {}}}\n"
        "acts: {late: {holds: [own, theirs], line_check: '23:40', at: '00:10', until: '01:00'}}\n"
    )
    others = plan_of(tmp_path, text).others
    assert (others["own"].start_min, others["own"].end_min) == (18 * 60, 19 * 60)
    assert (others["theirs"].start_min, others["theirs"].end_min) == (23 * 60 + 40, 25 * 60)
    assert (others["free"].start_min, others["free"].end_min) == (None, None)


# ---------------------------------------------------------------------------------------------- overlaps

SPANS = st.tuples(st.integers(0, 180), st.none() | st.integers(0, 180))


@QUICK
@given(SPANS, SPANS)
def test_overlaps_against_a_brute_force_by_the_minute(
    first: tuple[int, int | None], second: tuple[int, int | None]
) -> None:
    horizon = 400
    minutes = [
        minute
        for minute in range(horizon)
        if all(start <= minute < (horizon if end is None else end) for start, end in (first, second))
    ]
    found = overlap(act(*first), act(*second))
    if not minutes:
        assert found is None
    else:
        assert found is not None
        start, end = found
        assert list(range(start, horizon if end is None else end)) == minutes


def test_an_act_without_a_beginning_overlaps_nothing() -> None:
    assert overlap(act(None, 60), act(0, None)) is None


# -------------------------------------------------------------------------------------------- changeovers


@QUICK
@given(st.lists(st.integers(0, 12), min_size=1, max_size=5), st.integers(1, 4))
def test_one_pair_of_hands_against_every_order(free: list[int], each: int) -> None:
    """The least lateness over all orders of the entries, minute by minute."""
    needed = 15
    entries = [Entry(f"u{n}", "a", "b", start, needed) for n, start in enumerate(free)]
    best = min(_done(order, each) for order in permutations(free)) - needed
    assert late_min(entries, Decimal(each)) == max(0, best)


def _done(order: tuple[int, ...], each: int) -> int:
    now = 0
    for start in order:
        while now < start:
            now += 1
        now += each
    return now


def test_changes_of_a_unit_by_hand(tmp_path: Path) -> None:
    from planlint.facts.changeover import reentries

    text = """plan_format: 1
kind: plan
devices: {RX-1: {}}
links:
  a: {kind: mic, rx: RX-1, carrier_mhz: 561.900}
  b: {kind: mic, rx: RX-1, carrier_mhz: 563.400}
day:
  - {what: one, at: "20:00", until: "20:40", on_air: [a]}
  - {what: two, at: "20:45", until: "21:30", on_air: [b]}
  - {what: three, at: "21:40", until: "22:00", on_air: [a]}
"""
    facts = facts_of(tmp_path, text)
    found = [(entry.before, entry.after, entry.free_min, entry.needed_min) for entry in reentries(facts.plan, facts)]
    assert found == [("a", "b", 20 * 60 + 40, 20 * 60 + 45), ("b", "a", 21 * 60 + 30, 21 * 60 + 40)]


# ----------------------------------------------------------------------------------------------- capacity

RANGES = st.lists(st.tuples(st.integers(0, 14), st.integers(0, 5)).map(lambda r: Range(r[0], r[0] + r[1])), max_size=3)


@QUICK
@given(RANGES, st.integers(1, 5))
def test_the_count_against_every_choice(ranges: list[Range], spacing: int) -> None:
    places = sorted({place for span in ranges for place in range(span.low_hz, span.high_hz + 1)})
    most = 0
    for size in range(1, len(places) + 1):
        if not any(all(b - a >= spacing for a, b in combinations(chosen, 2)) for chosen in combinations(places, size)):
            break
        most = size
    assert count(ranges, spacing) == most


@QUICK
@given(RANGES, RANGES)
def test_what_is_left_against_every_half_step(ranges: list[Range], taken: list[Range]) -> None:
    left = without(merged(ranges), taken)
    for twice in range(1, 40, 2):
        inside = any(2 * span.low_hz < twice < 2 * span.high_hz for span in ranges)
        cut = any(2 * span.low_hz < twice < 2 * span.high_hz for span in taken)
        assert any(2 * span.low_hz < twice < 2 * span.high_hz for span in left) == (inside and not cut)


def _clear(chosen: tuple[int, ...], spacing: int, guards: tuple[int, int]) -> bool:
    """Whether a set keeps its spacing, 2A = B + C and A + B = C + D, by looking at every triple and quadruple."""
    if any(b - a < spacing for a, b in combinations(sorted(chosen), 2)):
        return False
    for a, b, c in permutations(chosen, 3):
        if abs(2 * a - b - c) < guards[0]:
            return False
    return all(abs(a + b - c - d) >= guards[1] for a, b, c, d in permutations(chosen, 4))


@QUICK
@given(RANGES, st.integers(1, 4), st.integers(1, 4), st.integers(1, 4))
def test_the_bound_and_the_plain_search_against_every_choice(
    ranges: list[Range], spacing: int, two: int, three: int
) -> None:
    places = sorted({place for span in ranges for place in range(span.low_hz, span.high_hz + 1)})
    most = 0
    for size in range(1, len(places) + 1):
        if not any(_clear(chosen, spacing, (two, three)) for chosen in combinations(places, size)):
            break
        most = size
    fits = count(ranges, spacing)
    span = places[-1] - places[0] if places else 0
    found = Room((), ranges=tuple(merged(ranges)), spacing_hz=spacing, guards_hz=(two, three), step_hz=1)
    assert plain_search(found, 99) <= most <= most_within(span, spacing, min(two, three), fits) <= fits


@pytest.mark.parametrize(("marks", "length"), [(2, 1), (3, 3), (4, 6), (5, 11), (6, 17), (7, 25), (8, 34)])
def test_the_bound_against_the_shortest_golomb_rulers(marks: int, length: int) -> None:
    """Clear of third order by 1 are the Golomb rulers; lengths: OEIS A003022 (from memory, not verified)."""
    assert least_span(marks, 1, 1) <= length
    assert most_within(length, 1, 1, 99) >= marks


def test_the_plain_search_places_what_mian_and_chowla_do() -> None:
    """From the bottom up with all sums distinct: 1, 2, 4, 8, 13, 21, 31, 45, 66, 81 (OEIS A005282, from memory, not verified).

    Their rule also forbids 2A = 2B, which cannot be; and a sum of a carrier with itself, which 2A = B + C is.
    """
    sequence = [1, 2, 4, 8, 13, 21, 31, 45, 66, 81]
    for number, last in enumerate(sequence, 1):
        found = Room((), ranges=(Range(1, last),), spacing_hz=1, guards_hz=(1, 1), step_hz=1)
        assert plain_search(found, 99) == number
        assert number <= most_within(last - 1, 1, 1, last)


def test_six_megahertz_hold_nine_carriers_at_700_khz() -> None:
    """482.100 to 487.900 in steps of 700 kHz: 482.1, 482.8 ... 487.7, nine of them; by hand."""
    assert count([Range(482_100_000, 487_900_000)], 700_000) == 9


@pytest.mark.parametrize(("apart", "reach", "expected_db"), [(200, 20, 20.0), (120, 20, 15.56), (20, 20, 0.0)])
def test_a_signal_falls_6_db_when_the_distance_doubles(
    tmp_path: Path, apart: float, reach: float, expected_db: float
) -> None:
    """Free space, ITU-R P.525: the loss grows by 20 lg of the ratio of the distances."""
    from planlint.facts.stage_reuse import reuses

    text = f"""plan_format: 1
kind: plan
models: {{rx: {{role: mic-receiver, needs_ci_db: {{mono: 18}}}}}}
devices: {{RX-1: {{model: rx}}}}
links: {{m: {{kind: mic, rx: RX-1, carrier_mhz: 561.900, power_mw: 10}}}}
spectrum: {{others_on_air: {{b: {{carrier_mhz: 561.900, power_mw: 10}}}}}}
reach: {{default_m: {reach}}}
stages: {{main: {{}}, barn: {{apart_m: {{main: {apart}}}}}}}
acts: {{us: {{stage: main, holds: [m], at: "20:00", until: "21:00"}}, r: {{stage: barn, holds: [b], at: "20:30", until: "21:30"}}}}
"""
    facts = facts_of(tmp_path, text)
    (found,) = reuses(facts.plan, facts)
    assert found.above_db == pytest.approx(expected_db, abs=0.01)
    assert found.wanted_db == 28
