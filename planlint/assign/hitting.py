"""The lightest set that has a member in each of some sets: exact by branch and bound."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

Ids = frozenset[str]
_NODES = 200_000


class Lightest(NamedTuple):
    """A set, its weight, and the least weight that any such set can have (equal where it is proven)."""

    ids: Ids
    weight: int
    bound: int


def lightest(clauses: Collection[Ids], weights: Mapping[str, int], forced: Ids = frozenset()) -> Lightest | None:
    """Return the lightest set with a member in each clause, or None where a clause is empty.

    Args:
        clauses: the sets; ids that `weights` does not know are passed over.
        weights: positive weights of what may be chosen.
        forced: ids that are in it anyway.
    """
    useful = {frozenset(ids & weights.keys()) for ids in clauses if not ids & forced}
    if not all(useful):
        return None
    needed = sorted(
        (ids for ids in useful if not any(other < ids for other in useful)), key=lambda ids: (len(ids), sorted(ids))
    )
    search = _Search(needed, weights)
    search.run()
    base = sum(weights[name] for name in forced)
    return Lightest(search.best | forced, search.best_weight + base, search.bound + base)


def least(clauses: Sequence[Ids], weights: Mapping[str, int]) -> int:
    """Return a weight that no set with a member in each clause can be below: disjoint clauses, weights shared out."""
    left = dict(weights)
    total = 0
    for ids in clauses:
        take = min(left[name] for name in ids)
        total += take
        for name in ids:
            left[name] -= take
    return total


class _Search:
    def __init__(self, clauses: list[Ids], weights: Mapping[str, int]) -> None:
        self._clauses = clauses
        self._weights = weights
        self._left = _NODES
        self.best = self._greedy()
        self.best_weight = self._weigh(self.best)
        self.bound = least(clauses, weights)

    def run(self) -> None:
        if self.bound < self.best_weight:
            self._go(frozenset(), frozenset(), 0)
            if self._left > 0:
                self.bound = self.best_weight

    def _weigh(self, ids: Collection[str]) -> int:
        return sum(self._weights[name] for name in ids)

    def _greedy(self) -> Ids:
        chosen: set[str] = set()
        left = list(self._clauses)
        while left:
            counts: dict[str, int] = {}
            for ids in left:
                for name in ids:
                    counts[name] = counts.get(name, 0) + 1
            name = min(counts, key=lambda name: (self._weights[name] / counts[name], name))
            chosen.add(name)
            left = [ids for ids in left if name not in ids]
        for name in sorted(chosen, key=lambda name: (-self._weights[name], name)):
            if all(ids & chosen - {name} for ids in self._clauses):
                chosen.remove(name)
        return frozenset(chosen)

    def _go(self, chosen: Ids, barred: Ids, weight: int) -> None:
        self._left -= 1
        if self._left <= 0:
            return
        open_ = [ids - barred for ids in self._clauses if not ids & chosen]
        if not open_:
            if weight < self.best_weight:
                self.best, self.best_weight = chosen, weight
            return
        open_.sort(key=len)
        if not open_[0] or weight + least(open_, self._weights) >= self.best_weight:
            return
        for name in sorted(open_[0], key=lambda name: (self._weights[name], name)):
            self._go(chosen | {name}, barred, weight + self._weights[name])
            barred |= {name}
