"""Who is on the air together, against a minute-by-minute brute force written from the contract's ruling."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.plans import facts_of

HEAD = "plan_format: 1\nkind: plan\n"
LINKS = "links:\n  a: {kind: ear}\n  b: {kind: ear}\n  s: {kind: mic, stands_in_for: b}\n  u: {kind: ear}\ncarriers: {u: {unused: no guest tonight}}\n"
OTHERS = "spectrum: {others_on_air: {house: {kind: comms}, crew: {kind: mic, at: '18:00', until: '19:00'}}}\n"


def sets(folder: Path, text: str) -> list[tuple[str, ...]]:
    return [tuple(sorted(ids)) for ids in facts_of(folder, HEAD + text).together]


def test_without_a_day_everyone_but_stand_ins_and_unused(tmp_path: Path) -> None:
    assert sets(tmp_path, LINKS + OTHERS) == [("a", "b", "crew", "house")]


def test_all_leaves_stand_ins_off_and_a_list_puts_them_on(tmp_path: Path) -> None:
    day = 'day:\n  - {what: show, at: "20:00", until: "21:00", on_air: all}\n'
    assert sets(tmp_path, LINKS + day) == [("a", "b")]
    day = 'day:\n  - {what: show, at: "20:00", until: "21:00", on_air: [s, b]}\n'
    assert sets(tmp_path, LINKS + day) == [("a", "b", "s")]


def test_others_keep_their_own_times(tmp_path: Path) -> None:
    day = 'day:\n  - {what: doors, at: "17:00", until: "20:00"}\n'
    facts = facts_of(tmp_path, HEAD + LINKS + OTHERS + day)
    assert [(i.start_min, i.end_min, sorted(i.ids)) for i in facts.intervals] == [
        (17 * 60, 18 * 60, ["a", "b", "house"]),
        (18 * 60, 19 * 60, ["a", "b", "crew", "house"]),
        (19 * 60, 20 * 60, ["a", "b", "house"]),
    ]


def test_a_link_named_nowhere_is_on_in_every_interval(tmp_path: Path) -> None:
    day = 'day:\n  - {what: one, at: "10:00", on_air: [a]}\n  - {what: two, at: "11:00", until: "12:00", on_air: []}\n'
    assert sets(tmp_path, LINKS + day) == [("a", "b")]


@settings(max_examples=150, deadline=None, derandomize=True, database=None)
@given(
    st.lists(
        st.tuples(
            st.integers(8, 22),
            st.none() | st.integers(0, 23),
            st.none() | st.just("all") | st.lists(st.sampled_from("abs"), unique=True),
        ),
        min_size=1,
        max_size=4,
        unique_by=lambda entry: entry[0],
    )
)
def test_against_a_brute_force_by_the_minute(entries: list[tuple[int, int | None, str | list[str] | None]]) -> None:
    entries = sorted(entries, key=lambda entry: entry[0])
    lines = []
    for start, until, on_air in entries:
        words = [f"what: x, at: '{start:02d}:00'"]
        words += [f"until: '{until:02d}:00'"] if until is not None else []
        words += (
            [f"on_air: {on_air if on_air == 'all' else '[' + ', '.join(on_air) + ']'}"] if on_air is not None else []
        )
        lines.append(f"  - {{{', '.join(words)}}}\n")
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), HEAD + LINKS + "day:\n" + "".join(lines))
    intervals = facts.intervals
    for hour in range(8, 48):
        expected = _on_air(entries, hour)
        told = [
            i.ids
            for i in intervals
            if i.start_min is not None and i.end_min is not None and i.start_min <= hour * 60 < i.end_min
        ]
        if expected is None:
            assert told == [] or told[0] == _usual(entries)
        else:
            assert told == [expected]


def _usual(entries: list[tuple[int, int | None, str | list[str] | None]]) -> frozenset[str]:
    named = {name for _, _, on_air in entries if isinstance(on_air, list) for name in on_air}
    return frozenset({"a", "b"} - named)


def _on_air(entries: list[tuple[int, int | None, str | list[str] | None]], hour: int) -> frozenset[str] | None:
    """Who is on at the full hour, or None where no entry covers it."""
    starts = [entry[0] for entry in entries]
    active = []
    for start, until, on_air in entries:
        later = [other for other in starts if other > start]
        if until is not None:
            end: float = until + 24 if until < start else until
        else:
            end = min(later) if later else start + 0.1
        if until is None and not later:
            ends = [u + 24 if u < s else u for s, u, _ in entries if u is not None]
            end = max([start + 0.02, *ends, *starts])
        if start <= hour < end:
            active.append(on_air)
    if not active:
        return None
    on = set(_usual(entries))
    for on_air in active:
        on |= {"a", "b"} if on_air == "all" else set(on_air or [])
    return frozenset(on)
