"""A venue that does not list a link of its tour.

What goes wrong: last week's carrier stays in the units because nobody wrote one, and this town has a TV station
there. Nothing is inherited, on purpose: a venue lists every link every week, even where the carrier is the same,
and one that is not used says so.

Bad::

    # file: venue.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    carriers:
      ear-1: {carrier_mhz: 505.300}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {id: t, region: us}
    links: {ear-1: {kind: ear}, ear-5: {kind: ear}}

Good::

    # file: venue.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    carriers:
      ear-1: {carrier_mhz: 505.300}
      ear-5: {unused: no guests tonight}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {id: t, region: us}
    links: {ear-1: {kind: ear}, ear-5: {kind: ear}}

Source: the plan format: a carrier is never inherited.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="file", source="the plan format: a carrier is never inherited")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each link of the tour that the venue does not list."""
    if plan.kind != "venue":
        return
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.listed:
            continue
        yield Fault(
            "/carriers",
            f"{name} is missing: no carrier is inherited from the tour or from last week. Write its carrier, even if it is the "
            f"same, and look at both ends; or write {name}: {{unused: why}}.",
            (name,),
            {"link": name},
            (Mark(link.at, f"{name} is the tour's", key=True),),
            fix=f"write {name} under carriers",
        )
