"""A licence whose paper is not on site.

What goes wrong: an inspector or the house asks for it at 18:50, and it is in an office in another town. Whether it
must be shown is for the regulator's rules; having a copy in the rack costs nothing.

Bad::

    plan_format: 1
    kind: plan
    licences: {site: {ref: site licence 1182, paper: none}}

Good::

    plan_format: 1
    kind: plan
    licences: {site: {ref: site licence 1182, paper: "rack A, lid pocket"}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.licences import licences
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each licence whose paper is nowhere on site; one that has ended is not asked for."""
    if "licences" not in plan.values:
        yield Unchecked(("/licences",))
    for name, spec in licences(plan):
        if plan.date is not None and str(spec.get("until", plan.date)) < plan.date:
            continue
        at = f"/licences/{escape(name)}/paper"
        paper = spec.get("paper")
        if paper is None:
            yield Unchecked((at,))
        elif paper == "none":
            ref = f" ({spec['ref']})" if "ref" in spec else ""
            yield Fault(
                at,
                f"licence {name}{ref} is nowhere on site: put a copy with the rack sheet, and write where it is.",
                (),
                {"licence": name},
                fix="write where the copy is",
            )
