"""A set that is said to pick its own carrier, and a carrier written all the same.

What goes wrong: one of the two is from the set that was here last week. Read one way it may be anywhere in its band, read the
other it is on one carrier only; here it is counted by its carrier.

Bad::

    plan_format: 1
    kind: plan
    spectrum: {self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}}}
    links: {calls: {kind: comms, self_tuned: upper, carrier_mhz: 944.000}}

Good::

    plan_format: 1
    kind: plan
    spectrum: {self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000}}}
    links: {calls: {kind: comms, self_tuned: upper}}

Source: the plan's own words; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="the plan's own words")


class _Said(NamedTuple):
    """What is said of a link or other: its band, its carrier, and where."""

    name: str
    band: str | None
    carrier: object
    at: str


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link and other that names a band and a carrier."""
    found = [
        _Said(link.id, link.self_tuned, _carrier(plan, link), link.entry_at)
        for link in plan.links.values()
        if link.used
    ]
    found += [
        _Said(other.id, other.self_tuned, other.spec.get("carrier_mhz"), other.at) for other in plan.others.values()
    ]
    if not found:
        yield Unchecked(("/links",))
    for said in sorted(found, key=lambda each: each.name):
        if said.band is not None and said.carrier is not None:
            yield Fault(
                f"{said.at}/self_tuned",
                f"{said.name} tunes itself in band {said.band} and has carrier {said.carrier} all the same. Look at the set: take out "
                "self_tuned, or the carrier.",
                (said.name,),
                {"band": said.band, "carrier_mhz": str(said.carrier)},
                (Mark(f"{said.at}/carrier_mhz", "and here"),),
            )


def _carrier(plan: Plan, link: Link) -> object:
    entry = link.spec if link.entry_at == link.at else plan.section("carriers").get(link.id, {})
    return entry.get("carrier_mhz")
