"""Intermodulation relations of a plan, with ids, in the contract's form.

Each relation is one equation between sums of carriers that comes nearer than its limit. With B the widest
emission among its ids, an unwritten limit is B/2 (two-signal third), B/4 (three-signal third and two-signal
fifth) or off (three-signal fifth).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from planlint.facts import limits
from planlint.plan.model import Plan
from planlint.plan.quantity import khz_number
from planlint.rf import intermodulation

KINDS = ("two_signal_third", "three_signal_third", "two_signal_fifth", "three_signal_fifth")

Term = tuple[int, str]


class Named(NamedTuple):
    """A relation by ids.

    Attributes:
        kind: the policy key.
        left, right: terms (coefficient, id), larger coefficients first, then ids by code point.
        offset_hz: how far the two sides are apart.
        limit_hz: the limit it was judged by.
    """

    kind: str
    left: tuple[Term, ...]
    right: tuple[Term, ...]
    offset_hz: int
    limit_hz: int

    @property
    def ids(self) -> tuple[str, ...]:
        """All ids in the relation, sorted."""
        return tuple(sorted({name for _, name in self.left + self.right}))

    @property
    def text(self) -> str:
        """The relation as an equation with plus signs only."""
        return f"{_side(self.left)} = {_side(self.right)}"

    @property
    def offset_khz(self) -> int | float:
        """The offset in kHz."""
        return khz_number(self.offset_hz)


def _side(terms: Sequence[Term]) -> str:
    return " + ".join(name if factor == 1 else f"{factor}*{name}" for factor, name in terms)


def find(
    plan: Plan, carriers: Mapping[str, int], widths: Mapping[str, int], sets: Iterable[frozenset[str]]
) -> list[Named]:
    """Return every relation among carriers that are on together, in a fixed order.

    Args:
        plan: for its policy.
        carriers: carriers in Hz by id.
        widths: emission widths in Hz by id.
        sets: ids that are on the air together; ids without a carrier are passed over.
    """
    names = sorted(carriers)
    index = {name: at for at, name in enumerate(names)}
    widest = max((widths[name] for name in names), default=0)
    bounds = intermodulation.Limits(*(limits.hertz(plan, f"intermod_khz.{kind}", widest).hz for kind in KINDS))
    members = [[index[name] for name in sorted(ids) if name in index] for ids in sets]
    found = []
    for relation in intermodulation.relations_within([carriers[name] for name in names], bounds, members):
        left = _order((factor, names[at]) for factor, at in relation.left)
        right = _order((factor, names[at]) for factor, at in relation.right)
        if [factor for factor, _ in left] == [factor for factor, _ in right] and _least(right) < _least(left):
            left, right = right, left
        own = max(widths[name] for _, name in left + right)
        limit = limits.hertz(plan, f"intermod_khz.{relation.kind}", own).hz
        if relation.offset_hz < limit:
            found.append(Named(relation.kind, left, right, relation.offset_hz, limit))
    return sorted(found, key=lambda named: (KINDS.index(named.kind), named.offset_hz, named.ids, named.text))


def _order(terms: Iterable[Term]) -> tuple[Term, ...]:
    return tuple(sorted(terms, key=lambda term: (-term[0], term[1])))


def _least(terms: Sequence[Term]) -> str:
    return min(name for _, name in terms)
