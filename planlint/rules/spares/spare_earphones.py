"""No spare earphones in the cases.

What goes wrong: a moulded earphone breaks its lead at line check, and the singer goes on with one ear. One universal set
with new tips keeps anybody going.

Bad::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear}}
    ships: {short-coax: 8}

Good::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear}}
    ships: {short-coax: 8, spare-earphones: 1}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import ear_links
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where there are in-ear links and the list of what is shipped has no spare earphones."""
    if not plan.links:
        yield Unchecked(("/links",))
    if "ships" not in plan.values:
        yield Unchecked(("/ships",))
        return
    links = [link.id for link in ear_links(plan)]
    if links and not plan.section("ships").get("spare-earphones", 0):
        yield Fault(
            "/ships",
            f"{len(links)} in-ear link{'' if len(links) == 1 else 's'} and no spare earphones in the cases. Ship one universal set "
            "with new tips, and write spare-earphones: 1.",
            tuple(links),
            {"links": len(links)},
            key=True,
            fix="ship one universal set",
        )
