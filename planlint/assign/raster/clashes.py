"""What clashes among the present carriers of a repair, and by how much something is clear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from planlint.assign.raster.forms import KINDS
from planlint.assign.raster.problem import Repair
from planlint.rf.intermodulation import Limits, relations


class Clash(NamedTuple):
    """Slots whose carriers are too near each other or in a relation below its guard.

    Attributes:
        slots: who takes part, rising.
        kind: a name of `Limits`, or `spacing`.
        offset: how near they come.
        limit: how far apart they must be.
    """

    slots: tuple[int, ...]
    kind: str
    offset: int
    limit: int


def clashes(problem: Repair, carriers: Mapping[int, int]) -> list[Clash]:
    """Return every clash among carriers given by slot, each once, that one of our own slots takes part in."""
    found = {
        clash: None
        for on in problem.sets
        for clash in _within(problem, {slot: carriers[slot] for slot in sorted(on) if slot in carriers}, 0)
        if any(problem.slots[slot].ours for slot in clash.slots)
    }
    return sorted(found, key=lambda clash: (clash.slots, clash.kind, clash.offset))


def margin(problem: Repair, carriers: Mapping[int, int], moved: frozenset[int]) -> int | None:
    """Return how far the nearest thing that a moved slot takes part in is past its limit; None: nothing limits it."""
    widest = 1
    while True:
        found = [
            clash.offset - clash.limit
            for on in problem.sets
            for clash in _within(problem, {slot: carriers[slot] for slot in sorted(on) if slot in carriers}, widest)
            if moved & set(clash.slots)
        ]
        if found:
            return min(found)
        if widest > 8 * (max(carriers.values()) - min(carriers.values()) + 1):
            return None
        widest *= 8


def _within(problem: Repair, on: Mapping[int, int], more: int) -> Iterator[Clash]:
    """Yield what comes nearer than its limit plus `more`, among carriers that are on together."""
    slots, names = problem.slots, list(on)
    for at, first in enumerate(names):
        for second in names[at + 1 :]:
            limit = problem.spacing[slots[first].kind][slots[second].kind]
            gap = abs(on[first] - on[second])
            if gap < limit + more:
                yield Clash((first, second), "spacing", gap, limit)
    largest = [max((slots[slot].guards[kind] for slot in names), default=0) for kind in range(len(KINDS))]
    wide = Limits(*(guard + more if guard else 0 for guard in largest))
    for relation in relations([on[slot] for slot in names], wide):
        members = tuple(sorted({names[index] for _, index in relation.left + relation.right}))
        kind = KINDS.index(relation.kind)
        limit = max(slots[slot].guards[kind] for slot in members)
        if limit and relation.offset_hz < limit + more:
            yield Clash(members, relation.kind, relation.offset_hz, limit)
