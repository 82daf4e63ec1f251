"""Who is off by the roster: every combination of what may be written, against the key's description."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
import yaml

from planlint.facts.roster import lacking, needed_duties, tonight
from tests.plans import plan_of

PRESENT: tuple[object, ...] = (None, "all", ["p"], ["q"], [])
AWAY = (None, ["p"], ["q"])
DUTIES = (None, {"desk": ["p"]}, {"desk": ["q"]})


def plan(roster: dict[str, object], **show: str) -> str:
    return yaml.safe_dump(
        {
            "plan_format": 1,
            "kind": "plan",
            "show": {"date": "2027-09-05", **show},
            "people": {"p": {}, "q": {}},
            "duties": {"desk": {}, "packs": {"people": 2}},
            "roster": roster,
        }
    )


@pytest.mark.parametrize(("present", "away", "duties"), list(product(PRESENT, AWAY, DUTIES)))
def test_one_entry_in_every_form(tmp_path: Path, present: object, away: object, duties: object) -> None:
    written = {"present": present, "away": away, "duties": duties}
    entry = {"date": "2027-09-05"} | {key: value for key, value in written.items() if value is not None}
    found = tonight(plan_of(tmp_path, plan({"e": entry})))
    assert found is not None
    named = present == "all" or (isinstance(present, list) and "p" in present) or duties == {"desk": ["p"]}
    expected = True if away == ["p"] else False if named else None if present is None else True
    assert found.away("p") is expected


@pytest.mark.parametrize(
    ("show", "date", "counts"),
    [
        (None, "2027-09-05", True),
        ("early", "2027-09-05", True),
        ("late", "2027-09-05", False),
        (None, "2027-09-06", False),
    ],
)
def test_which_entries_count(tmp_path: Path, show: str | None, date: str, counts: bool) -> None:
    entry = {"date": date, "present": ["p"]} | ({"show": show} if show else {})
    made = plan_of(tmp_path, plan({"e": entry}, id="early"))
    assert (tonight(made) is not None) == counts
    assert lacking(made) == (() if counts else ("/roster",))


def test_a_show_needs_what_it_lists_else_every_duty(tmp_path: Path) -> None:
    assert needed_duties(plan_of(tmp_path, plan({}))) == {"desk": 1, "packs": 2}
    text = plan({}).replace("date: '2027-09-05'", "{date: '2027-09-05', duties: [packs]}", 1)
    assert needed_duties(plan_of(tmp_path, text.replace("show:\n  {", "show: {"))) == {"packs": 2}
