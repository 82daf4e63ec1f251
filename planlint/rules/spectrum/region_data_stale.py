"""The region file was last compared with the law too long before the show.

What goes wrong: bands close and limits change between two tours. The region file says on which day somebody last
looked; `policy.region_max_age_days` says how old that may be.

Bad::

    plan_format: 1
    kind: plan
    show: {region: mine, date: "2026-03-14"}
    region: mine
    checked: "2025-02-07"
    rows: {}

Good::

    plan_format: 1
    kind: plan
    show: {region: mine, date: "2026-03-14"}
    region: mine
    checked: "2025-03-14"
    rows: {}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.limits import number
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="law", source="common practice, no source", accept={"age_days": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where the region was checked too many days before the show."""
    checked = plan.region.spec.get("checked") if plan.region else None
    if plan.region is None:
        yield Unchecked((plan.region_at,))
    elif checked is None:
        yield Unchecked(("/checked",))
    if plan.date is None:
        yield Unchecked(("/show/date",))
    if plan.region is None or checked is None or plan.date is None:
        return
    age, limit = _days(str(checked), plan.date), int(number(plan, "region_max_age_days"))
    if age is None:
        yield Unchecked(("/checked", "/show/date"))
    elif age > limit:
        yield Fault(
            plan.region_at,
            f"Region {plan.region.id} was last compared with the rules on {checked}, {age} days before the show; limit "
            f"{limit}. Look at the regulator's page, correct the region file and change its date: until then the rules "
            "about law judge by old ones.",
            (),
            {"age_days": age, "limit_days": limit, "checked": str(checked)},
        )


def _days(earlier: str, later: str) -> int | None:
    from datetime import date

    try:
        return (date.fromisoformat(later) - date.fromisoformat(earlier)).days
    except ValueError:  # like 2026-02-30, which the schema's pattern lets through
        return None
