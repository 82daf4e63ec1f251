"""A scan that is older than the house allows when packs go on.

What goes wrong: yesterday's scan, or the last town's: what is on the air changes by the hour. The age counts to the
first `packs on` of the day, else to noon of the show's date. A scan dated a day or more after that is a slip too.

Bad::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    scans: {stage: {file: stage.csv, at: "2026-03-13T08:30"}}
    day: [{what: packs on, at: "15:30"}]

Good::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    scans: {stage: {file: stage.csv, at: "2026-03-13T15:30"}}
    day: [{what: packs on, at: "15:30"}]

Source: common practice, no source; `policy.scan.max_age_h` is the house's limit.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts, limits
from planlint.facts.scan import age_min, midnight, needed_at_min, taken
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import MINUTES_PER_DAY, clock
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import heading

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"age_h": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan that is too old when it is needed, or dated after it."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    if facts.scans.all and midnight(plan) is None:
        yield Unchecked(("/show/date",))
    most_h = limits.number(plan, "scan.max_age_h")
    needed = f"{plan.date} {clock(needed_at_min(plan))}"
    for scan in facts.scans.all:
        if taken(scan) is None:
            yield Unchecked((scan.key_at("at"),), (scan.id,))
            continue
        age = age_min(plan, scan)
        if age is None or -MINUTES_PER_DAY < age <= most_h * 60:
            continue
        hours = _hours(age)
        said = f"is {hours:g} h old when it is needed ({needed}), limit {most_h:g} h. Scan again before packs go on."
        if age < 0:
            said = f"is dated {-hours:g} h after it is needed ({needed}). Correct its time, or the show's date."
        yield Fault(
            scan.key_at("at"),
            f"{heading(scan)} {said}",
            (scan.id,),
            {"age_h": hours, "limit_h": int(most_h) if most_h.is_integer() else most_h},
            rank=-hours,
        )


def _hours(minutes: int) -> int | float:
    return minutes // 60 if minutes % 60 == 0 else round(minutes / 60, 2)
