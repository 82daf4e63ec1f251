"""A band or a power that needs a licence, and none in the plan covers it tonight.

What goes wrong: the licence is in somebody's office, for another hall or ended last week. Two cases: only
licence holders may use the carrier at all; or anybody may, and the power is more than that allows and within
what a licence would. A licence covers a link by its class, its band, its place and its dates, both days
included.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us, place: Millrace Hall, date: "2026-03-14"}
    licences: {}
    models: {hand-h: {role: mic-transmitter, worn: handheld, powers_mw: [10, 100], power_basis: eirp}}
    devices: {HH-1: {model: hand-h}}
    links: {vox: {kind: mic, mic: HH-1, carrier_mhz: 560.000, power_mw: 100}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us, place: Millrace Hall, date: "2026-03-14"}
    licences:
      hall:
        {ref: number 12, class: part-74, place: Millrace Hall, from: "2026-01-01", until: "2026-12-31",
         low_mhz: 470.000, high_mhz: 608.000, power_mw: 100, power_basis: eirp}
    models:
      hand-h: {role: mic-transmitter, worn: handheld, powers_mw: [10, 100], power_basis: eirp, own_antenna_gain_dbi: 0}
    devices: {HH-1: {model: hand-h}}
    links: {vox: {kind: mic, mic: HH-1, carrier_mhz: 560.000, power_mw: 100}}

Without `licences` in the plan this is not checked, and eirp-over-limit holds the power against what needs none;
`licences: {}` says that there are none.

Source: the region file's rows and their licence classes; each says whether it was read.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.verdict import Verdict, verdict
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who
from planlint.rules.power_wording import classes, concerned, limit_text, marks, numbers, sends, what_fits

RULE = Rule(severity="error", group="law", source="the region file's licence classes", law=True)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link that would need a licence that the plan does not show."""
    yield from lacking(plan, facts)
    for link, carrier, *_ in carried(plan, facts):
        found = verdict(plan, facts, link)
        if found is None:
            continue
        if found.answer == "closed":
            yield _band(plan, link, carrier, found)
        elif found.answer == "licence":
            yield _power(plan, facts, link, found)
        elif found.needs and (found.permission.closed or found.permission.unknown):
            yield Unchecked(found.needs, who(link))


def _band(plan: Plan, link: Link, carrier: int, found: Verdict) -> Fault:
    says = strength(found.band_status)
    rows = found.permission.closed
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(carrier)} is for holders of a licence only (class {classes(rows)}){says.says}, and none in the "
        f"plan covers it {_here(plan, found)}. Write the licence under licences, or choose another carrier for every "
        "unit on the link.",
        who(link),
        {"carrier_mhz": mhz(carrier), "class": rows[0].licence_class},
        severity=says.severity,
        waivable=says.waivable,
    )


def _power(plan: Plan, facts: Facts, link: Link, found: Verdict) -> Fault:
    if found.sent is None or found.limit is None:
        raise ValueError(f"{link.id}: a power that needs a licence has a limit")
    says = strength(found.power_status)
    rows = found.permission.closed
    fits = what_fits(plan, facts, link, found)
    return Fault(
        f"{link.entry_at}/power_mw",
        f"{link.id}: {sends(link, found.sent, found.limit)}; {limit_text(found.limit)} without a licence{says.says}. "
        f"More needs one of class {classes(rows)}, and none in the plan covers it {_here(plan, found)}. Write the "
        f"licence under licences, or {fits[0].lower()}{fits[1:]}",
        concerned(link, found.sent),
        numbers(found) | {"class": rows[0].licence_class},
        tuple(marks(plan, link, found.sent)),
        severity=says.severity,
        waivable=says.waivable,
    )


def _here(plan: Plan, found: Verdict) -> str:
    where = plan.show.get("place") or plan.show.get("town") or "here"
    when = f" on {plan.date}" if plan.date else ""
    reasons = [why for row in found.permission.closed for why in found.permission.covers[row.id].why_not]
    because = f" ({'; '.join(dict.fromkeys(reasons))})" if reasons else ""
    return f"{'at ' if where != 'here' else ''}{where}{when}{because}"
