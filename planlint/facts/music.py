"""How long music plays into somebody's ears: the minutes of sound checks and shows in which a link is on."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, NamedTuple

from planlint.plan.model import Plan

if TYPE_CHECKING:
    from planlint.facts import Facts

PLAYED = ("sound check", "show")
"""The entries of a day in which music plays, by the words that have meaning."""


class Music(NamedTuple):
    """Minutes of music on some links.

    Attributes:
        minutes: each minute once, however many entries or links cover it.
        parts: which of `PLAYED` they come from, in the order of the day.
        entries: pointers to those entries.
        needs: pointers to write before the minutes are known.
    """

    minutes: int
    parts: tuple[str, ...]
    entries: tuple[str, ...]
    needs: tuple[str, ...]


def music(plan: Plan, facts: Facts, links: Collection[str]) -> Music:
    """Return how long music plays on any of some links."""
    played = [entry for entry in plan.day if entry.what in PLAYED]
    if not played:
        return Music(0, (), (), ("/day",))
    needs = tuple(f"{entry.at}/until" for entry in played if entry.end_min is None)
    minutes, parts, entries = 0, list[str](), list[str]()
    for interval in facts.intervals:
        start, end = interval.start_min, interval.end_min
        if start is None or end is None or interval.ids.isdisjoint(links):
            continue
        inside = [entry for entry in played if entry.end_min and entry.start_min <= start and end <= entry.end_min]
        if inside:
            minutes += end - start
            parts += [entry.what for entry in inside]
            entries += [entry.at for entry in inside]
    return Music(minutes, tuple(dict.fromkeys(parts)), tuple(dict.fromkeys(entries)), needs)
