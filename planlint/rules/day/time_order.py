"""A day whose entries are not in order.

What goes wrong: the cell swap stands below the guest's set, or the sound check before the packs are on; whoever reads
the list from the top does the wrong thing first, and run times are counted from the wrong moment. Entries stand in the
order of the day (an entry half a day or more before the one above it is after midnight), and `packs on`, `sound check`,
`doors` and `show` begin in this order. A cell swap may stand anywhere.

Bad::

    plan_format: 1
    kind: plan
    day:
      - {what: sound check, at: "15:30"}
      - {what: packs on, at: "16:00"}
      - {what: show, at: "21:00", until: "22:30"}

Good::

    plan_format: 1
    kind: plan
    day:
      - {what: packs on, at: "15:30"}
      - {what: sound check, at: "16:00"}
      - {what: show, at: "21:00", until: "22:30"}

Source: the plan format's day; the order of the words is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from planlint.facts import Facts
from planlint.facts.runtime import first
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import DayEntry
from planlint.plan.quantity import clock
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="file", source="the plan format's day; common practice, no source")

_ORDER = ("packs on", "sound check", "doors", "show")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each entry that begins before one that should come first."""
    if "day" not in plan.values:
        yield Unchecked(("/day",))
    told = set()
    for above, entry in pairwise(plan.day):
        if entry.start_min < above.start_min:
            told.add(entry.at)
            yield _fault(entry, above, f"is written below '{above.what}' at {clock(above.start_min)}")
    entries = [entry for entry in (first(plan, what) for what in _ORDER) if entry is not None]
    for should_be_first, entry in combinations(entries, 2):
        if entry.start_min < should_be_first.start_min and not told & {entry.at, should_be_first.at}:
            told.add(entry.at)
            yield _fault(
                entry, should_be_first, f"is before '{should_be_first.what}' at {clock(should_be_first.start_min)}"
            )


def _fault(entry: DayEntry, other: DayEntry, what: str) -> Fault:
    return Fault(
        f"{entry.at}/at",
        f"'{entry.what}' at {clock(entry.start_min)} {what}. Put the day in order, or write the time that is meant: who is on "
        "the air and how long cells last is counted from it.",
        (),
        {"clock": clock(entry.start_min), "other_clock": clock(other.start_min)},
        (Mark(f"{other.at}/at", f"'{other.what}' is at {clock(other.start_min)}"),),
    )
