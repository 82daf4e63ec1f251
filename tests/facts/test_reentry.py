"""What has to be entered since the show before, counted by hand, and how long there is, against the standard library."""

from __future__ import annotations

import tempfile
from datetime import datetime, timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.engine.single import open_plan
from planlint.facts.reentry import last_scan_min, packs_on, work
from planlint.facts.scan import age_min
from planlint.facts.shows import show_before
from tests.examples.shows import CLEAN
from tests.plans import facts_of

QUICK = settings(max_examples=150, deadline=None, derandomize=True, database=None)
MIDNIGHT = datetime.fromisoformat("2026-03-29T00:00")


@QUICK
@given(st.lists(st.integers(-2000, 1439), min_size=1, max_size=4), st.integers(0, 1439))
def test_from_the_last_scan_to_packs_on_is_what_the_calendar_says(scans: list[int], packs: int) -> None:
    """Scans may be of the days before; one taken after packs on does not count. Source: Python's datetime."""
    moments = [MIDNIGHT + timedelta(minutes=minute) for minute in scans]
    on = MIDNIGHT + timedelta(minutes=packs)
    lines = "".join(
        f'  s{number}: {{file: s{number}.csv, at: "{at:%Y-%m-%dT%H:%M}"}}\n' for number, at in enumerate(moments)
    )
    text = (
        f'plan_format: 1\nkind: plan\nshow: {{date: "{MIDNIGHT:%Y-%m-%d}"}}\nscans:\n{lines}'
        f'day:\n  - {{what: packs on, at: "{on:%H:%M}"}}\n'
    )
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text)
    entry, last = packs_on(facts.plan), last_scan_min(facts.plan, facts)
    before = [at for at in moments if at <= on]
    assert entry is not None
    assert (None if last is None else timedelta(minutes=entry.start_min - last)) == (
        on - max(before) if before else None
    )
    ages = [age_min(facts.plan, scan) for scan in facts.scans.all]
    assert [timedelta(minutes=age) for age in ages if age is not None] == [on - at for at in moments]


def test_the_touches_of_a_wednesday_by_hand() -> None:
    """willow-court: on Wednesday all seven links used have another carrier than on Sunday; mic-5 stands in and counts.

    Ears: T-1, P-1 and its spare P-6; T-2, P-2, P-3; and ear-2 in P-1's list: 7. Ears in the list that rest: none. ear-1 is in
    no list. Microphones: B-1 R-1, H-2 R-2, B-3 R-3, H-4 R-4, H-5 R-5: 10.
    """
    example = CLEAN["willow-court"]
    sunday, wednesday = (open_plan(example.folder, show) for show in example.files())
    before = show_before(wednesday.plan, (sunday.plan,))
    assert before is not None
    todo = work(wednesday.plan, before)
    assert todo.links == ("ear-1", "ear-2", "mic-1", "mic-2", "mic-3", "mic-4", "mic-5")
    units = {touch.unit for touch in todo.touches if touch.entry is None}
    assert units == {
        "T-1",
        "P-1",
        "P-6",
        "T-2",
        "P-2",
        "P-3",
        *(f"R-{n}" for n in range(1, 6)),
        "B-1",
        "H-2",
        "B-3",
        "H-4",
        "H-5",
    }
    assert [(touch.unit, touch.entry) for touch in todo.touches if touch.entry is not None] == [("P-1", "ear-2")]
    assert len(todo.touches) == 17
    assert todo.unknown == ()


def test_nothing_moved_touches_nothing() -> None:
    example = CLEAN["willow-court"]
    sunday = open_plan(example.folder, example.files()[0])
    assert work(sunday.plan, sunday.plan).touches == ()
