"""The fewest touches over a tour: which links change carrier between which dates.

A change weighs what it takes to re-tune the link where it comes to stand (planlint/assign/state.py). The first
date's carriers are free to choose; a link that is not used keeps its carrier at no cost.

Here are the values and the bound link by link, as if our links never met each other: a dynamic programme over the
dates gives the fewest touches of each link, and their sum is a bound that no tour can be below.
planlint/assign/tour_search.py puts everybody together.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from planlint.assign.tour_fit import Fitter

Sets = tuple[dict[str, int], ...]
"""Carriers in Hz by link, for each date."""


class Change(NamedTuple):
    """A link that changes between two dates on which it is used, by index; carriers in Hz; `weight` in touches."""

    link: str
    before: int
    after: int
    old_hz: int
    new_hz: int
    weight: int


class Touches(NamedTuple):
    """What was found.

    Attributes:
        found: touches in all, of `changes`; None: no carriers were found for every date.
        bound: no tour takes fewer.
        alone: the bound of the dynamic programme, link by link.
        changes: by date and link.
        carriers: the sets; none where none were found.
        margin_hz: how far past its limit the nearest thing in them is, at any date; None: nothing is near.
        out_of_time: the search was stopped before its end.
        interrupted: a keyboard interrupt ended it.
    """

    found: int | None
    bound: int
    alone: int
    changes: tuple[Change, ...]
    carriers: Sets
    margin_hz: int | None
    out_of_time: bool
    interrupted: bool

    @property
    def proven(self) -> bool:
        """Whether fewer are impossible."""
        return self.found == self.bound


class Gap(NamedTuple):
    """Two dates, by index, on which a link is used with none between; a change there weighs `weight` touches."""

    link: str
    before: int
    after: int
    weight: int


class Path(NamedTuple):
    """Changes of one link that meets nobody: their weight, how little room they leave, the dates they come before."""

    weight: int
    tight: float
    changes: tuple[int, ...]


def fewest_alone(lines: Sequence[frozenset[int]], weights: Sequence[int], rng: random.Random | None = None) -> Path:
    """Return the least weight of changes of one link that meets nobody; of several such, one that leaves much room.

    Args:
        lines: what it may take, date by date; none is empty.
        weights: what a change weighs before each date but the first.
        rng: of the choice among the lightest; None: the one with the most carriers to choose from between changes.

    The least up to a date is the least up to the start of some run that ends there, and the change before it.
    """
    best = [Path(0, 0.0, ())]
    for last in range(len(lines)):
        common = lines[last]
        paths = []
        for first in range(last, -1, -1):
            common = common & lines[first]
            if not common:
                break
            before = best[first]
            tight = before.tight + (rng.uniform(0.2, 1) if rng else 1.0) / len(common)
            paths.append(
                Path(before.weight + weights[first - 1], tight, (*before.changes, first))
                if first
                else Path(0, tight, ())
            )
        best.append(min(paths))
    return best[-1]


def gaps(fitter: Fitter) -> list[Gap]:
    """Return where links may change, by link and date."""
    return [
        Gap(link, before, after, fitter.nights[after].weigh(link))
        for link in fitter.links
        for before, after in pairwise(fitter.used(link))
    ]
