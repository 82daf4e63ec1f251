"""A licence that does not last as long as the tour.

What goes wrong: it was in force when the tour was planned, and ends between two shows. The dates of every venue
of the tour count, at the licence's place; both its days are included. Dates that another licence of the same
class, place and band covers are no fault.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us, place: Millrace Hall, date: "2026-03-21"}
    licences:
      hall:
        {ref: number 12, class: part-74, place: Millrace Hall, from: "2026-01-01", until: "2026-03-20",
         low_mhz: 470.000, high_mhz: 608.000}

Good::

    plan_format: 1
    kind: plan
    show: {region: us, place: Millrace Hall, date: "2026-03-21"}
    licences:
      hall:
        {ref: number 12, class: part-74, place: Millrace Hall, from: "2026-01-01", until: "2026-03-21",
         low_mhz: 470.000, high_mhz: 608.000}

Source: the licence's own dates; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.licences import at_place, licences
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="law", source="the licence's own dates")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each licence that has ended, or not begun, at a show of the tour."""
    if "licences" not in plan.values:
        yield Unchecked(("/licences",))
        return
    if plan.kind == "venue" and facts.siblings is None:
        yield Unchecked(("/uses",))
    shows = [plan, *(facts.siblings or ())]
    if any(show.date is None for show in shows):
        yield Unchecked(("/show/date",))
    for name, spec in licences(plan):
        lacking = tuple(f"/licences/{escape(name)}/{key}" for key in ("from", "until", "place") if key not in spec)
        if lacking:
            yield Unchecked(lacking, (name,))
        late = _uncovered(plan, shows, name, spec, "until")
        early = _uncovered(plan, shows, name, spec, "from")
        if late:
            yield _fault(name, spec, "until", late)
        if early:
            yield _fault(name, spec, "from", early)


def _uncovered(plan: Plan, shows: list[Plan], name: str, spec: Mapping[str, Any], key: str) -> list[tuple[str, str]]:
    """Return date and place of each show past a licence's last day (or before its first) that none replaces."""
    found = set()
    for show in shows:
        date = show.date
        if date is None or key not in spec or not _holds_at(show, spec) or not _past(spec, key, date):
            continue
        others = [other for other_name, other in licences(plan) if other_name != name]
        if not any(_replaces(show, date, spec, other) for other in others):
            found.add((date, str(show.show.get("place") or show.show.get("town") or show.file)))
    return sorted(found)


def _past(spec: Mapping[str, Any], key: str, date: str) -> bool:
    return date > str(spec[key]) if key == "until" else date < str(spec[key])


def _holds_at(show: Plan, spec: Mapping[str, Any]) -> bool:
    return "place" in spec and at_place(show, str(spec["place"]))


def _replaces(show: Plan, date: str, spec: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    if other.get("class") != spec.get("class") or not _holds_at(show, other):
        return False
    if not str(other.get("from", "9")) <= date <= str(other.get("until", "0")):
        return False
    low, high = spec.get("low_mhz"), spec.get("high_mhz")
    return all(
        mine is None or (theirs is not None and fits)
        for mine, theirs, fits in (
            (low, other.get("low_mhz"), other.get("low_mhz", 0) <= (low or 0)),
            (high, other.get("high_mhz"), other.get("high_mhz", 0) >= (high or 0)),
        )
    )


def _fault(name: str, spec: Mapping[str, Any], key: str, dates: list[tuple[str, str]]) -> Fault:
    shows = ", ".join(f"{date} ({where})" for date, where in dates)
    does = f"ends {spec['until']}" if key == "until" else f"begins {spec['from']}"
    says = f", {spec['ref']}," if "ref" in spec else ""
    return Fault(
        f"/licences/{escape(name)}/{key}",
        f"Licence {name}{says} {does}; not covered: {shows}. Get those dates licensed and write that beside it, or "
        "plan those shows by what needs no licence.",
        (name,),
        {key: str(spec[key]), "first_uncovered": dates[0][0], "shows": len(dates)},
    )
