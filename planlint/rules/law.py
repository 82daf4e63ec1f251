"""What the rules about law share: which carriers can be judged, and how strongly a row may speak."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts import Facts
from planlint.finding import Severity, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link


class Strength(NamedTuple):
    """How strongly a row speaks: its severity, whether a waiver may silence it, and what the message adds."""

    severity: Severity
    waivable: bool
    says: str


_STRENGTHS = {
    "read": Strength("error", waivable=False, says=""),
    "second-hand": Strength("error", waivable=True, says=" (rule known second-hand: look at the regulator's text)"),
    "memory": Strength(
        "warning", waivable=True, says=" (rule from memory, not verified: look at the regulator's text)"
    ),
}


def strength(status: str) -> Strength:
    """Return how strongly a row of this status speaks."""
    return _STRENGTHS[status]


def lacking(plan: Plan, facts: Facts) -> Iterator[Unchecked]:
    """Yield what is missing for judging carriers by the region's law."""
    if plan.region is None:
        yield Unchecked((plan.region_at,))
    missing = tuple(link.id for link in _used(plan) if link.wants_carrier and link.id not in facts.carriers)
    if missing:
        yield Unchecked(tuple(plan.links[name].carrier_at for name in missing), missing)
    elif not plan.links:
        yield Unchecked(("/links",))


def carried(plan: Plan, facts: Facts) -> Iterator[tuple[Link, int, int, int]]:
    """Yield each link used tonight that has a carrier: the link, its carrier and its emission's edges in Hz.

    Of links that share one wide emission only those that differ from the one that stands for it.
    """
    for link in _used(plan):
        if link.carrier_hz is not None and not same_emission(facts, link):
            low, high = facts.edges(link.id)
            yield link, link.carrier_hz, low, high


def same_emission(facts: Facts, link: Link) -> bool:
    """Say whether another link stands for this one: both are one wide emission, alike in edges and power."""
    leader = facts.plan.links.get(facts.leaders.get(link.id, link.id), link)
    if leader.id == link.id or leader.carrier_hz is None or link.carrier_hz is None:
        return False
    return facts.edges(leader.id) == facts.edges(link.id) and leader.power_mw in {None, link.power_mw}


def who(link: Link) -> tuple[str, ...]:
    """Return a link and its transmitter, for `subjects`."""
    return (link.id, link.tx) if link.tx else (link.id,)


def _used(plan: Plan) -> list[Link]:
    return [plan.links[name] for name in sorted(plan.links) if plan.links[name].used]
