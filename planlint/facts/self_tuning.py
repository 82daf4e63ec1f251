"""Sets that pick their own carriers: the band they may be anywhere in, its channels, and what else is in it.

Such a set has no carrier in the plan and takes part in nothing that is reckoned between carriers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.document.nodes import escape
from planlint.plan.model import Link, Other, Plan
from planlint.plan.quantity import to_hz

if TYPE_CHECKING:
    from planlint.facts import Facts


class Band(NamedTuple):
    """A band of self-tuning sets: its edges in Hz, how many channels it has (None: unwritten), where it is written."""

    id: str
    low_hz: int
    high_hz: int
    channels: int | None
    at: str

    def overlaps(self, low_hz: int, high_hz: int) -> bool:
        """Say whether a stretch of spectrum reaches into the band; edges that touch do not."""
        return self.low_hz < high_hz and low_hz < self.high_hz


class Set(NamedTuple):
    """A self-tuning set in a band that is written: a link of ours used tonight, or somebody else's."""

    id: str
    item: Link | Other
    band: Band
    takes: int | None
    entry_at: str

    @property
    def ours(self) -> bool:
        """Whether it is a link of ours."""
        return isinstance(self.item, Link)

    @property
    def at(self) -> str:
        """The pointer to the band it names."""
        return f"{self.entry_at}/self_tuned"


def bands(plan: Plan) -> dict[str, Band]:
    """Return the bands whose edges are written, by id."""
    written = plan.section("spectrum").get("self_tuning_bands")
    found = {}
    for name, spec in sorted(written.items()) if isinstance(written, dict) else ():
        if isinstance(spec, dict) and {"low_mhz", "high_mhz"} <= spec.keys():
            edges = to_hz(spec["low_mhz"], "mhz"), to_hz(spec["high_mhz"], "mhz")
            found[name] = Band(name, *edges, spec.get("channels"), f"/spectrum/self_tuning_bands/{escape(name)}")
    return found


def sets(plan: Plan) -> tuple[Set, ...]:
    """Return the self-tuning sets used tonight, by id; one that has a carrier all the same counts by its carrier."""
    known = bands(plan)
    links = (link for link in plan.links.values() if link.used)
    items: list[tuple[Link | Other, str]] = [(link, link.entry_at) for link in links]
    items += [(other, other.at) for other in plan.others.values()]
    return tuple(
        Set(item.id, item, known[item.self_tuned], item.takes_channels, at)
        for item, at in sorted(items, key=lambda each: each[0].id)
        if item.carrier_hz is None and item.self_tuned in known
    )


def fixed_in(facts: Facts, one: Set) -> tuple[str, ...]:
    """Return the ids with a carrier whose emission reaches into a set's band while both are on, by id."""
    return tuple(
        name
        for name in sorted(facts.carriers)
        if name != one.id and facts.leads(name) and one.band.overlaps(*facts.edges(name)) and facts.meet(one.id, name)
    )


def most_at_once(facts: Facts, members: tuple[Set, ...]) -> tuple[Set, ...]:
    """Return those of some sets that are on together and take the most channels; of equals, the first by id."""
    chosen: tuple[Set, ...] = ()
    for ids in facts.present:
        now = tuple(one for one in members if one.id in ids)
        if (_taken(now), len(now)) > (_taken(chosen), len(chosen)):
            chosen = now
    return chosen


def _taken(members: tuple[Set, ...]) -> int:
    return sum(one.takes or 0 for one in members)
