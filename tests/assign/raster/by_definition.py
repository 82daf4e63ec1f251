"""Brute force from the definition, importing nothing from the search: what is clear, and the cheapest repair.

Relations as the format defines them, letters being different carriers: 2A = B + C, A + B = C + D, 3A = 2B + C,
2A + B = 2C + D, 3A = B + C + D; clear when the two sides are at least the largest guard of the members apart.
"""

from __future__ import annotations

import heapq
import math
import time
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise, permutations
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Integers = NDArray[np.int64]

SHAPES = (
    (0, (2, -1, -1)),
    (1, (1, 1, -1, -1)),
    (2, (3, -2, -1)),
    (3, (2, 1, -2, -1)),
    (3, (3, -1, -1, -1)),
)
Guards = Sequence[int]


def relations_of(carriers: Sequence[int], guards: Sequence[Guards]) -> Iterator[tuple[frozenset[int], int, int]]:
    """Yield (who, offset, guard) for every relation nearer than its guard; `who` by index."""
    for kind, factors in SHAPES:
        if not any(guard[kind] for guard in guards):
            continue
        for who in permutations(range(len(carriers)), len(factors)):
            guard = max(guards[index][kind] for index in who)
            offset = abs(sum(factor * carriers[index] for factor, index in zip(factors, who, strict=True)))
            if offset < guard:
                yield frozenset(who), offset, guard


def clear(carriers: Sequence[int], spacing: int, guards: Guards) -> bool:
    """Whether carriers of one kind keep their spacing and every guard."""
    if any(abs(a - b) < spacing for a, b in combinations(carriers, 2)):
        return False
    return next(relations_of(carriers, [guards] * len(carriers)), None) is None


def third_order_clear(carriers: Sequence[int], spacing: int, guard: int, fifth: int = 0) -> bool:
    """The same for large sets: sums of two, sorted, instead of every choice of four; and 3A = 2B + C if asked."""
    values = sorted(carriers)
    if any(b - a < spacing for a, b in pairwise(values)):
        return False
    for a, b, c in combinations(values, 3):
        if min(abs(2 * a - b - c), abs(2 * b - a - c), abs(2 * c - a - b)) < guard:
            return False
    sums = sorted((a + b, a, b) for a, b in combinations(values, 2))
    for at, (total, a, b) in enumerate(sums):
        for other, c, d in sums[at + 1 :]:
            if other - total >= guard:
                break
            if not {a, b} & {c, d}:
                return False
    return not fifth or all(abs(3 * a - 2 * b - c) >= fifth for a, b, c in permutations(values, 3))


class TimeOverError(Exception):
    """The oracle did not end in its time."""


class Links:
    """A repair in plain numbers, for the oracle: one entry for each link in every list."""

    def __init__(
        self,
        carriers: Sequence[int | None],
        choices: Sequence[Sequence[int]],
        touch: Sequence[int],
        guards: Sequence[Guards],
        spacing: Sequence[Sequence[int]],
        stays: Sequence[bool],
        ours: Sequence[bool],
        together: Sequence[frozenset[int]],
    ) -> None:
        self.carriers, self.choices, self.touch, self.guards = carriers, choices, touch, guards
        self.spacing, self.stays, self.ours, self.together = spacing, stays, ours, together
        self.deadline = math.inf

    def _left(self, on: dict[int, int], name: int, choices: Integers, new: int | None = None) -> Integers:
        """Choices at which nothing is wrong that the link takes part in: each shape, each place it can take in it.

        With `new`, only what that other link takes part in too.
        """
        fine = np.ones(len(choices), dtype=bool)
        for together in self.together:
            if name not in together or (new is not None and new not in together):
                continue
            others = [other for other in sorted(on) if other in together]
            for other in others:
                if new is None or other == new:
                    fine &= np.abs(choices - on[other]) >= self.spacing[name][other]
            for own, guard, values in self._products(on, others, name, new):
                at = np.searchsorted(values, -own * choices)
                above = np.abs(own * choices + values[np.minimum(at, len(values) - 1)])
                below = np.abs(own * choices + values[np.maximum(at - 1, 0)])
                fine &= np.minimum(above, below) >= guard
        return choices[fine]

    def _products(
        self, on: dict[int, int], others: list[int], name: int, new: int | None
    ) -> Iterator[tuple[int, int, Integers]]:
        """(own, guard, values): |own * x + value| < guard is a relation of the link at x with some of the others."""
        values: dict[tuple[int, int], set[int]] = {}
        for kind, factors in SHAPES:
            if not any(self.guards[other][kind] for other in (name, *others)):
                continue
            for place, own in enumerate(factors):
                rest = factors[:place] + factors[place + 1 :]
                for who in permutations(others, len(rest)):
                    if new is not None and new not in who:
                        continue
                    guard = max(self.guards[name][kind], *(self.guards[other][kind] for other in who))
                    value = sum(f * on[other] for f, other in zip(rest, who, strict=True))
                    values.setdefault((own, guard), set()).add(value)
        for (own, guard), found in values.items():
            yield own, guard, np.array(sorted(found), dtype=np.int64)

    def margin(self, carriers: Mapping[int, int], moved: set[int]) -> int:
        """How far the nearest thing that a moved link takes part in is past its limit, all on together."""
        names = sorted(carriers)
        found = [
            abs(carriers[a] - carriers[b]) - self.spacing[a][b] for a, b in combinations(names, 2) if moved & {a, b}
        ]
        for kind, factors in SHAPES:
            for who in permutations(names, len(factors)):
                guard = max(self.guards[name][kind] for name in who)
                if guard and moved & set(who):
                    found.append(abs(sum(f * carriers[name] for f, name in zip(factors, who, strict=True))) - guard)
        return min(found)

    def cheapest(self) -> int | None:
        """The least cost of any repair, by trying sets of links in rising cost; None where there is none."""
        movable = [name for name in range(len(self.carriers)) if not self.stays[name]]
        must = {name for name in movable if self.carriers[name] not in self.choices[name]}
        if any(not self.choices[name] for name in must):
            return None
        cores = self._cores(set(movable), must)
        may = [name for name in movable if name not in must and self.choices[name]]
        for chosen in _by_cost(may, self.touch):
            moved = must | set(chosen)
            if all(core & moved for core in cores) and self._fits(moved):
                return sum(self.touch[name] for name in moved)
        return None

    def _cores(self, movable: set[int], must: set[int]) -> list[set[int]]:
        """Links of which one must move, for each thing wrong among those that could stay."""
        on = {name: carrier for name, carrier in enumerate(self.carriers) if carrier is not None and name not in must}
        found = []
        for together in self.together:
            names = [name for name in sorted(on) if name in together]
            for a, b in combinations(names, 2):
                if abs(on[a] - on[b]) < self.spacing[a][b]:
                    found.append({a, b} & movable)
            for who, _, _ in relations_of([on[name] for name in names], [self.guards[name] for name in names]):
                found.append({names[index] for index in who} & movable)
        return [core for core in found if core]

    def _fits(self, moved: set[int]) -> bool:
        on = {name: carrier for name, carrier in enumerate(self.carriers) if carrier is not None and name not in moved}
        left = {name: self._left(on, name, np.array(self.choices[name], dtype=np.int64)) for name in moved}
        return all(map(len, left.values())) and self._place(on, left)

    def _place(self, on: dict[int, int], left: dict[int, Integers]) -> bool:
        if not left:
            return True
        if time.monotonic() > self.deadline:
            raise TimeOverError
        name = min(left, key=lambda one: (len(left[one]), one))
        for choice in left[name].tolist():
            after = {**on, name: choice}
            rest: dict[int, Integers] = {}
            for other, choices in left.items():
                if other != name:
                    rest[other] = self._left(after, other, choices, name)
                    if not len(rest[other]):
                        break
            else:
                if self._place(after, rest):
                    return True
        return False


def wrong_with(links: Links, carriers: Mapping[int, int]) -> list[tuple[frozenset[int], str]]:
    """Everything wrong among carriers that one of our own links takes part in, for large plans too.

    Sums of two are sorted instead of trying every four; the remaining shapes are gone over one by one.
    """
    found: list[tuple[frozenset[int], str]] = []
    for together in links.together:
        names = [name for name in sorted(together) if name in carriers]
        for a, b in combinations(names, 2):
            if abs(carriers[a] - carriers[b]) < links.spacing[a][b]:
                found.append((frozenset((a, b)), "spacing"))
        values, guards = [carriers[name] for name in names], [links.guards[name] for name in names]
        found += [(frozenset(names[at] for at in who), "relation") for who in _near(values, guards)]
    return [(who, what) for who, what in found if any(links.ours[name] for name in who)]


def _near(carriers: Sequence[int], guards: Sequence[Guards]) -> Iterator[frozenset[int]]:
    most = [max((guard[kind] for guard in guards), default=0) for kind in range(4)]
    for kind, factors in SHAPES:
        if len(factors) == 4 and kind == 3 and most[3]:
            yield from (who for who, _, _ in relations_of(carriers, [(0, 0, 0, guard[3]) for guard in guards]))
        if len(factors) == 3 and most[kind]:
            for who in permutations(range(len(carriers)), 3):
                offset = abs(sum(factor * carriers[at] for factor, at in zip(factors, who, strict=True)))
                if offset < max(guards[at][kind] for at in who):
                    yield frozenset(who)
    sums = sorted((carriers[a] + carriers[b], a, b) for a, b in combinations(range(len(carriers)), 2))
    for at, (total, a, b) in enumerate(sums):
        for other, c, d in sums[at + 1 :]:
            if other - total >= most[1]:
                break
            if len({a, b, c, d}) == 4 and other - total < max(guards[one][1] for one in (a, b, c, d)):
                yield frozenset((a, b, c, d))


def _by_cost(names: Sequence[int], touch: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Yield every set of names, the cheapest first."""
    order = sorted(names, key=lambda name: (touch[name], name))
    heap: list[tuple[int, tuple[int, ...]]] = [(0, ())]
    while heap:
        cost, ranks = heapq.heappop(heap)
        yield tuple(order[rank] for rank in ranks)
        for rank in range((ranks[-1] if ranks else -1) + 1, len(order)):
            heapq.heappush(heap, (cost + touch[order[rank]], (*ranks, rank)))
