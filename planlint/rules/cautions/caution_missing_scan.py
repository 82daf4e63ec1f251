"""A scan is planned and nobody is told to switch off first.

What goes wrong: somebody's handheld stays on, and the scan finds our own carriers taken. Next morning the plan is
moved for nothing.

Bad::

    plan_format: 1
    kind: plan
    scans: {stage: {file: scans/stage.csv}}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    scans: {stage: {file: scans/stage.csv}}
    cautions: [{about: scan, say: "all our transmitters and the guests' off the air before the scan"}]

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.caution_wording import ask, listed, settled, unwritten

RULE = Rule(severity="warning", group="margin", source="common practice, no source")

SAY = "All our transmitters and the guests' off the air before the scan; ask on the radio, then look."


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where scans are written and no caution is about them."""
    yield from unwritten(plan)
    scans = sorted(plan.section("scans"))
    if scans and not settled(plan, "scan"):
        marks = [Mark(f"/scans/{escape(name)}", f"scan {name}", key=True) for name in scans]
        yield from ask("scan", f"The plan has a scan ({listed(scans)})", SAY, (), marks)
