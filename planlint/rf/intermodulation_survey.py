"""How many relations a set of carriers has, which carriers take part, and the closest few.

For sets whose relations are too many to list: the numbers are exact, the memory does not grow with them. Same
equations and sources as `planlint.rf.intermodulation`.
"""

from __future__ import annotations

import heapq
from collections import Counter
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

from planlint.rf.intermodulation import FORMS, Limits, Relation, checked, relations_within

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from planlint.rf.intermodulation_counts import Counts

LISTED_UP_TO = 24
"""Largest set surveyed by going through its relations: with all carriers equal still about a second."""


class Survey(NamedTuple):
    """Exact numbers of relations, and the closest of them.

    Attributes:
        totals: The number of relations of each kind. per_carrier: For each kind, in how many relations each
        carrier takes part, by index. Every carrier of a
            relation is also a victim of it, so this is how often each is hit.
        closest: The relations of smallest offset, by offset, equal ones in the order of the stream.
    """

    totals: dict[str, int]
    per_carrier: dict[str, tuple[int, ...]]
    closest: tuple[Relation, ...]


def survey(
    carriers_hz: Sequence[int],
    limits: Limits,
    keep: int = 1000,
    sets: Sequence[Collection[int]] | None = None,
) -> Survey:
    """Count all relations exactly and keep the closest.

    Args:
        carriers_hz: Carriers in Hz, any number in any order.
        limits: Strict upper limits of the offset in Hz; 0 switches a kind off.
        keep: The largest number of relations to return.
        sets: Indices of the carriers on the air together, one set for each interval; None: all of them. A
            relation in several sets counts once.

    Returns:
        The survey.

    Raises:
        TypeError, ValueError, IndexError: As in `planlint.rf.intermodulation.relations_within`; ValueError also if
            `keep` is negative.
    """
    if keep < 0:
        raise ValueError(f"keep must not be negative, not {keep}")
    carriers = checked(carriers_hz, limits)
    together = [range(len(carriers))] if sets is None else sets
    stream = relations_within(carriers, limits, together)
    if max(map(len, together), default=0) > LISTED_UP_TO:
        from planlint.rf.intermodulation_join import fits

        if fits(carriers):
            first = list(islice(stream, keep + 1))
            if len(first) > keep:
                return _counted(carriers, limits, keep, together)
            stream = iter(first)
    return _listed(carriers, stream, keep)


def _listed(carriers: Sequence[int], stream: Iterator[Relation], keep: int) -> Survey:
    """Survey by going through all relations."""
    totals = dict.fromkeys(Limits._fields, 0)
    per_carrier = {kind: [0] * len(carriers) for kind in Limits._fields}

    def counting() -> Iterator[Relation]:
        for found in stream:
            totals[found.kind] += 1
            for _, index in found.left + found.right:
                per_carrier[found.kind][index] += 1
            yield found

    at_least_one = max(keep, 1)  # asked for none, heapq would not go through them
    closest = heapq.nsmallest(at_least_one, counting(), key=lambda found: found.offset_hz)[:keep]
    return Survey(totals, {kind: tuple(counts) for kind, counts in per_carrier.items()}, tuple(closest))


def _counted(carriers: Sequence[int], limits: Limits, keep: int, sets: Sequence[Collection[int]]) -> Survey:
    """Survey more than `keep` relations by counting sums, then list only what is kept."""
    union = _Union(carriers, sets)
    totals = dict.fromkeys(Limits._fields, 0)
    per_carrier = {kind: [0] * len(carriers) for kind in Limits._fields}
    for kind, total, members, counts in union.counts(limits):
        totals[kind] += total
        for member, count in zip(members, counts, strict=True):
            per_carrier[kind][member] += count
    closest = _closest(carriers, limits, keep, sets, union) if keep else ()
    return Survey(totals, {kind: tuple(counts) for kind, counts in per_carrier.items()}, closest)


def _closest(
    carriers: Sequence[int],
    limits: Limits,
    keep: int,
    sets: Sequence[Collection[int]],
    union: _Union,
) -> tuple[Relation, ...]:
    """List the closest: all below the offset at which there would be too many, then the first at it."""
    most = _smallest_limit(limits, keep, union)
    nearer = sorted(relations_within(carriers, _capped(limits, most - 1), sets), key=lambda found: found.offset_hz)
    stream = relations_within(carriers, _capped(limits, most), sets)
    ties = (found for found in stream if found.offset_hz == most - 1)
    return (*nearer, *islice(ties, keep - len(nearer)))


def _smallest_limit(limits: Limits, keep: int, union: _Union) -> int:
    """The smallest limit in Hz that lets `keep` relations or more through."""
    low, high = 0, 1
    while union.total(_capped(limits, high)) < keep:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        if union.total(_capped(limits, middle)) < keep:
            low = middle
        else:
            high = middle
    return high


def _capped(limits: Limits, most: int) -> Limits:
    return Limits(*(min(limit, most) for limit in limits))


class _Union:
    """Counts over several sets, each relation once: by inclusion and exclusion of the sets' intersections."""

    def __init__(self, carriers: Sequence[int], sets: Sequence[Collection[int]]) -> None:
        self._carriers = carriers
        self._weights = _inclusion_exclusion(sets)
        self._last: tuple[tuple[int, ...], Counts] | None = None

    def counts(self, limits: Limits) -> Iterator[tuple[str, int, tuple[int, ...], list[int]]]:
        """Weighted (kind, total, members, count for each member) of every form and intersection."""
        for members, weight in self._weights.items():
            counts = self._counts_of(members)
            for form in FORMS:
                count = counts.count(form, getattr(limits, form.kind))
                yield form.kind, weight * count.total, members, (weight * count.per_carrier).tolist()

    def total(self, limits: Limits) -> int:
        """The number of relations of all kinds."""
        return sum(total for _, total, _, _ in self.counts(limits))

    def _counts_of(self, members: tuple[int, ...]) -> Counts:
        """The counts of one intersection; only the last is held, with its sorted sums."""
        from planlint.rf.intermodulation_counts import Counts

        if self._last is None or self._last[0] != members:
            self._last = (members, Counts([self._carriers[member] for member in members]))
        return self._last[1]


def _inclusion_exclusion(sets: Sequence[Collection[int]]) -> dict[tuple[int, ...], int]:
    """Weights of intersections whose weighted counts add up to the count of the union."""
    weights: Counter[frozenset[int]] = Counter()
    for together in map(frozenset, sets):
        step = Counter({together: 1})
        for other, weight in weights.items():
            step[together & other] -= weight
        weights.update(step)
    return {tuple(sorted(members)): weight for members, weight in weights.items() if weight and members}
