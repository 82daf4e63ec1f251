"""The lightest set that has a member in each of some sets: branch and bound, members as bits.

Source: a textbook problem (weighted hitting set, the dual of set cover); from memory, not verified. The tests
compare it with trying every set.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

NODES = 20_000


class Hitting(NamedTuple):
    """A set that hits every clause: its members as bits, its weight, and a weight no such set can be below."""

    members: int
    weight: int
    bound: int


def lightest(clauses: Sequence[int], weights: Sequence[int], must: int = 0, nodes: int = NODES) -> Hitting | None:
    """Return a lightest set of members that holds `must` and hits every clause; None where a clause has no member.

    Args:
        clauses: members as bits; the set must hold at least one of each.
        weights: what each member weighs, positive.
        must: members that are in every set, as bits.
        nodes: branches looked at before the best so far is taken; the bound tells whether it is lightest.
    """
    open_ = _essential([clause for clause in clauses if not clause & must])
    if 0 in open_:
        return None
    search = _Search(open_, weights, nodes)
    search.run()
    already = weigh(must, weights)
    return Hitting(search.best | must, search.weight + already, search.bound + already)


def weigh(members: int, weights: Sequence[int]) -> int:
    """Return what some members weigh together."""
    return sum(weight for at, weight in enumerate(weights) if members >> at & 1)


def _essential(clauses: Sequence[int]) -> list[int]:
    """Return the clauses that hold no other one."""
    kept: list[int] = []
    for clause in sorted(set(clauses), key=lambda clause: (clause.bit_count(), clause)):
        if not any(other & clause == other for other in kept):
            kept.append(clause)
    return kept


def members_of(clause: int) -> list[int]:
    """Return the members of a set given as bits, rising."""
    return [at for at in range(clause.bit_length()) if clause >> at & 1]


def bits(members: Iterable[int]) -> int:
    """Return a set of members as bits."""
    found = 0
    for member in members:
        found |= 1 << member
    return found


class _Search:
    def __init__(self, clauses: list[int], weights: Sequence[int], nodes: int) -> None:
        self._clauses = clauses
        self._weights = weights
        self._left = nodes
        self.best = self._greedy()
        self.weight = weigh(self.best, weights)
        self.bound = self._least(clauses)

    def run(self) -> None:
        if self.bound < self.weight:
            self._go(self._clauses, 0, 0)
            if self._left > 0:
                self.bound = self.weight

    def _greedy(self) -> int:
        chosen, left = 0, self._clauses
        while left:
            hits: dict[int, int] = {}
            for clause in left:
                for member in members_of(clause):
                    hits[member] = hits.get(member, 0) + 1
            member = min(hits, key=lambda one: (self._weights[one] / hits[one], one))
            chosen |= 1 << member
            left = [clause for clause in left if not clause >> member & 1]
        for member in sorted(members_of(chosen), key=lambda one: -self._weights[one]):
            without = chosen & ~(1 << member)
            if all(clause & without for clause in self._clauses):
                chosen = without
        return chosen

    def _least(self, clauses: Sequence[int]) -> int:
        """Return a weight that hitting these clauses cannot stay below: each pays what its members have left."""
        left = dict(enumerate(self._weights))
        total = 0
        for clause in clauses:
            members = members_of(clause)
            pays = min(left[member] for member in members)
            total += pays
            for member in members:
                left[member] -= pays
        return total

    def _go(self, clauses: list[int], chosen: int, weight: int) -> None:
        self._left -= 1
        if self._left <= 0:
            return
        if not clauses:
            if weight < self.weight:
                self.best, self.weight = chosen, weight
            return
        if not clauses[0] or weight + self._least(clauses) >= self.weight:
            return
        barred = 0
        for member in sorted(members_of(clauses[0]), key=lambda one: (self._weights[one], one)):
            bit = 1 << member
            rest = [clause & ~barred for clause in clauses if not clause & bit]
            rest.sort(key=int.bit_count)
            self._go(rest, chosen | bit, weight + self._weights[member])
            barred |= bit
