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


class Found(NamedTuple):
    """Relations of one plan.

    Attributes:
        listed: the relations, nearest first within each kind; of a kind with more than `KEEP`, the nearest.
        totals: how many there are of each kind that is not listed whole, exactly.
        per_id: for each such kind, in how many relations each id takes part.
        widest: limits follow from emission widths that differ, so `totals` count with the widest.
    """

    listed: tuple[Named, ...]
    totals: Mapping[str, int]
    per_id: Mapping[str, Mapping[str, int]]
    widest: bool


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
    table = _Table(plan, carriers, widths, sets)
    return table.named(intermodulation.relations_within(table.carriers, table.limits, table.members))


def survey(
    plan: Plan,
    carriers: Mapping[str, int],
    widths: Mapping[str, int],
    sets: Iterable[frozenset[str]],
    ours: frozenset[str],
) -> Found:
    """Return the relations that one of `ours` takes part in: all of them, or the nearest of each kind and exact totals.

    Args:
        plan: as in `find`.
        carriers: as in `find`.
        widths: as in `find`.
        sets: as in `find`.
        ours: ids of our own links; relations of others alone are not counted.
    """
    sets = tuple(sets)
    if len(carriers) <= FEW:
        listed = [named for named in find(plan, carriers, widths, sets) if ours & set(named.ids)]
        return Found(tuple(listed), {}, {}, widest=False)
    from planlint.rf.intermodulation_survey import survey as count

    table = _Table(plan, carriers, widths, sets)
    theirs = _Table(plan, {name: carriers[name] for name in carriers if name not in ours}, widths, sets)
    listed, totals, per_id = [], {}, {}
    for kind in KINDS:
        only = intermodulation.Limits(*(getattr(table.limits, each) if each == kind else 0 for each in KINDS))
        if not max(only):
            continue
        found = count(table.carriers, only, KEEP, table.members)
        listed += [named for named in table.named(iter(found.closest)) if ours & set(named.ids)]
        if found.totals[kind] > KEEP:
            foreign = count(theirs.carriers, only, 0, theirs.members).totals[kind]
            totals[kind] = found.totals[kind] - foreign
            hits = zip(table.names, found.per_carrier[kind], strict=True)
            per_id[kind] = {name: number for name, number in hits if name in ours}
    written = limits.written(plan, "intermod_khz")
    derived = any(kind not in written for kind in totals) if isinstance(written, dict) else bool(totals)
    return Found(tuple(_sorted(listed)), totals, per_id, widest=derived and len(set(widths.values())) > 1)


#: Up to so many carriers every relation is listed; beyond, at most `KEEP` of each kind.
FEW = 24
KEEP = 500


class _Table:
    """Carriers by index for the join, and back to ids."""

    def __init__(
        self, plan: Plan, carriers: Mapping[str, int], widths: Mapping[str, int], sets: Iterable[frozenset[str]]
    ) -> None:
        self._plan = plan
        self._widths = widths
        self.names = sorted(carriers)
        self.carriers = [carriers[name] for name in self.names]
        index = {name: at for at, name in enumerate(self.names)}
        self.members = [[index[name] for name in sorted(ids) if name in index] for ids in sets]
        widest = max((widths[name] for name in self.names), default=0)
        bounds = (limits.hertz(plan, f"intermod_khz.{kind}", widest).hz for kind in KINDS)
        self.limits = intermodulation.Limits(*bounds)

    def named(self, relations: Iterable[intermodulation.Relation]) -> list[Named]:
        """Return relations by ids, each within its own limit, in a fixed order."""
        found = []
        for relation in relations:
            left = _order((factor, self.names[at]) for factor, at in relation.left)
            right = _order((factor, self.names[at]) for factor, at in relation.right)
            if [factor for factor, _ in left] == [factor for factor, _ in right] and _least(right) < _least(left):
                left, right = right, left
            own = max(self._widths[name] for _, name in left + right)
            limit = limits.hertz(self._plan, f"intermod_khz.{relation.kind}", own).hz
            if relation.offset_hz < limit:
                found.append(Named(relation.kind, left, right, relation.offset_hz, limit))
        return _sorted(found)


def _sorted(found: Iterable[Named]) -> list[Named]:
    return sorted(found, key=lambda named: (KINDS.index(named.kind), named.offset_hz, named.ids, named.text))


def _order(terms: Iterable[Term]) -> tuple[Term, ...]:
    return tuple(sorted(terms, key=lambda term: (-term[0], term[1])))


def _least(terms: Sequence[Term]) -> str:
    return min(name for _, name in terms)
