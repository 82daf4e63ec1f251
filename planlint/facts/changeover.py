"""Units that serve several links in turn: when each comes free, and when it is needed on the next one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.packs import main_packs
from planlint.plan.model import Link, Plan

if TYPE_CHECKING:
    from planlint.facts import Facts


class Entry(NamedTuple):
    """One unit to be entered between two links: free from one minute, needed at another.

    `unknown` are the pointers of carriers that would say whether it has to be touched at all.
    """

    unit: str
    before: str
    after: str
    free_min: int
    needed_min: int
    unknown: tuple[str, ...] = ()


class _Span(NamedTuple):
    start_min: int
    end_min: int
    link: str


def reentries(plan: Plan, facts: Facts) -> Iterator[Entry]:
    """Yield each change of a unit from one link to another with another carrier, by unit and time."""
    spans: dict[str, list[_Span]] = {}
    for name in sorted(plan.links):
        for span in _on(facts, name):
            for unit in _units(plan.links[name]):
                spans.setdefault(unit, []).append(span)
    for unit in sorted(spans):
        for first, second in pairwise(sorted(spans[unit])):
            if first.link == second.link or second.start_min < first.end_min:
                continue
            both = (first.link, second.link)
            if not all(plan.links[name].wants_carrier for name in both):
                continue
            unknown = tuple(plan.links[name].carrier_at for name in both if name not in facts.carriers)
            if unknown or facts.carriers[first.link] != facts.carriers[second.link]:
                yield Entry(unit, first.link, second.link, first.end_min, second.start_min, unknown)


def late_min(entries: Iterable[Entry], each_min: Decimal) -> Decimal:
    """Return by how many minutes one pair of hands misses the moment that all entries are needed at; 0 in time.

    Args:
        entries: units needed at one moment, each from when it is free.
        each_min: minutes for one entry.
    """
    moment, needed = Decimal(0), Decimal(0)
    for entry in sorted(entries, key=lambda entry: entry.free_min):
        moment = max(moment, Decimal(entry.free_min)) + each_min
        needed = Decimal(entry.needed_min)
    return max(Decimal(0), moment - needed)


def _on(facts: Facts, link: str) -> Iterator[_Span]:
    """Yield the stretches of the day in which a link is on, neighbours joined."""
    start = end = None
    for interval in facts.intervals:
        if link not in interval.ids or interval.start_min is None or interval.end_min is None:
            continue
        if end == interval.start_min:
            end = interval.end_min
            continue
        if start is not None and end is not None:
            yield _Span(start, end, link)
        start, end = interval.start_min, interval.end_min
    if start is not None and end is not None:
        yield _Span(start, end, link)


def _units(link: Link) -> set[str]:
    return {unit for unit in (link.tx, link.rx, *(pack.id for pack in main_packs(link))) if unit}
