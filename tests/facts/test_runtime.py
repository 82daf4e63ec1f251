"""Run times on cells across midnight, against the standard library's datetime.

The rulings checked are the plan format's: packs run from `packs on`, microphones from `sound check`, to the last
`until`; a cell swap covers the packs unless its `units` says otherwise; `until` before `at` is the next day.
"""

from __future__ import annotations

import tempfile
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.facts.runtime import Job, begins, ends, lacking, run, runners
from planlint.plan import Plan
from tests.plans import plan_of

HEAD = "plan_format: 1\nkind: plan\n"
UNITS = (
    "devices: {PK-1: {}, PK-2: {}, HH-1: {cells: alkaline}, HH-2: {}}\n"
    "pack_defaults: {cells: nimh}\n"
    "links:\n"
    "  ear-1: {kind: ear, packs: {PK-1: {}, PK-2: {stands_in_for: PK-1}}}\n"
    "  mic-1: {kind: mic, mic: HH-1}\n"
    "  mic-2: {kind: mic, mic: HH-2, stands_in_for: mic-1}\n"
)
MIDNIGHT = datetime.fromisoformat("2026-03-14T00:00")


def day_of(folder: Path, *entries: str) -> Plan:
    return plan_of(folder, HEAD + UNITS + "day:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries))


def minutes(moment: datetime) -> int:
    return int((moment - MIDNIGHT) / timedelta(minutes=1))


@settings(max_examples=200, deadline=None, derandomize=True, database=None)
@given(
    start=st.integers(10 * 60, 23 * 60 + 59),
    gaps=st.lists(st.integers(1, 5 * 60), min_size=1, max_size=4),
    show=st.integers(1, 6 * 60),
)
def test_stretches_across_midnight_are_those_of_the_calendar(start: int, gaps: list[int], show: int) -> None:
    moments = [MIDNIGHT + timedelta(minutes=start)]
    for gap in gaps:
        moments.append(moments[-1] + timedelta(minutes=gap))
    end = moments[-1] + timedelta(minutes=show)
    words = ["packs on", *["cell swap"] * (len(gaps) - 1), "show"]
    entries = [f"what: {word}, at: '{moment:%H:%M}'" for word, moment in zip(words, moments, strict=True)]
    entries[-1] += f", until: '{end:%H:%M}'"
    with tempfile.TemporaryDirectory() as folder:
        found = run(day_of(Path(folder), *entries), "PK-1", "pack")
    assert found is not None
    marks = [moments[0], *moments[1:-1], end]
    expected = [(minutes(a), minutes(b)) for a, b in pairwise(marks)]
    assert list(found.stretches) == expected
    longest = max(b - a for a, b in pairwise(marks))
    assert timedelta(minutes=found.longest[1] - found.longest[0]) == longest


def test_a_swap_covers_packs_unless_units_says_otherwise(tmp_path: Path) -> None:
    plan = day_of(
        tmp_path,
        "what: packs on, at: '15:30'",
        "what: sound check, at: '16:00'",
        "what: cell swap, at: '18:00'",
        "what: cell swap, at: '19:00', units: [HH-1]",
        "what: cell swap, at: '20:00', units: all",
        "what: show, at: '21:00', until: '22:45'",
    )
    pack, microphone = run(plan, "PK-1", "pack"), run(plan, "HH-1", "microphone")
    assert pack is not None
    assert microphone is not None
    assert (pack.start_min, pack.swaps_min, pack.end_min) == (15 * 60 + 30, (18 * 60, 20 * 60), 22 * 60 + 45)
    assert (microphone.start_min, microphone.swaps_min) == (16 * 60, (19 * 60, 20 * 60))


def test_the_last_until_is_the_latest_and_swaps_outside_the_run_do_not_count(tmp_path: Path) -> None:
    plan = day_of(
        tmp_path,
        "what: cell swap, at: '14:00'",
        "what: packs on, at: '15:30'",
        "what: show, at: '21:00', until: '00:30'",
        "what: a drink, at: '21:30', until: '22:00'",
        "what: cell swap, at: '00:45'",
    )
    found = run(plan, "PK-1", "pack")
    assert found is not None
    assert found.stretches == ((15 * 60 + 30, 24 * 60 + 30),)
    assert ends(plan) == 24 * 60 + 30


def test_who_runs_and_on_what(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, HEAD + UNITS)
    assert [(item.device.id, item.job, item.chemistry) for item in runners(plan)] == [
        ("PK-1", "pack", "nimh"),
        ("HH-1", "microphone", "alkaline"),
    ]


@pytest.mark.parametrize(
    ("entries", "job", "needs"),
    [
        ((), "pack", ("/day",)),
        (("what: show, at: '21:00', until: '22:00'",), "pack", ("/day",)),
        (("what: packs on, at: '15:30'", "what: show, at: '21:00'"), "pack", ("/day/1/until",)),
        (("what: packs on, at: '15:30'", "what: show, at: '21:00', until: '22:00'"), "microphone", ("/day",)),
        (("what: packs on, at: '15:30'", "what: show, at: '21:00', until: '22:00'"), "pack", ()),
    ],
)
def test_what_the_day_lacks(tmp_path: Path, entries: tuple[str, ...], job: Job, needs: tuple[str, ...]) -> None:
    plan = day_of(tmp_path, *entries) if entries else plan_of(tmp_path, HEAD + UNITS)
    assert lacking(plan, job) == needs
    assert (run(plan, "PK-1", job) is None) == bool(needs)
    if needs == ("/day",):
        assert begins(plan, job) is None
