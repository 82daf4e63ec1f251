"""Among repairs of one cost the one with the largest worst margin, and what one slot more would buy."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planlint.assign.clock import Clock
from planlint.assign.raster.clashes import margin
from planlint.assign.raster.fitting import Fitting, Placed
from planlint.assign.raster.hitting import lightest, members_of
from planlint.assign.raster.outcome import Effort, More
from planlint.assign.raster.problem import Repair

_NODES = 4_000
"""Carriers tried in one search for a placing with a larger margin."""
_KEPT_FITTINGS = 8


class Widest(NamedTuple):
    """A repair: its carriers by slot, the set of slots it was searched for as bits, its margin; whether proven."""

    carriers: dict[int, int]
    members: int
    margin: int | None
    proven: bool


class Widening:
    """Looks for larger margins, within an effort and a time."""

    def __init__(self, problem: Repair, clock: Clock, effort: Effort, movable: int) -> None:
        """Keep what to search; `movable` are the slots that may move, as bits."""
        self._problem, self._clock, self._effort, self._movable = problem, clock, effort, movable
        self._present = {at: slot.carrier for at, slot in enumerate(problem.slots) if slot.carrier is not None}
        self._fittings: dict[int, Fitting] = {}
        self._left = effort.stretches

    def run(self, carriers: dict[int, int], members: int, cost: int, clauses: Sequence[int], must: int) -> Widest:
        """Return the repair with the largest margin among those of a cost.

        Args:
            carriers: a repair of that cost, by slot.
            members: the slots it was searched for, as bits.
            cost: what it costs.
            clauses: what every repair hits.
            must: slots in every repair, as bits.
        """
        weights = [slot.touch for slot in self._problem.slots]
        best = self._stretched(Widest(carriers, members, self._margin(carriers), proven=True))
        barred = [*clauses, self._movable & ~members]
        for _ in range(self._effort.equals):
            found = lightest(barred, weights, must)
            if found is None or found.bound > cost:
                return best
            if found.weight > cost or self._out():
                break
            rival = self._stretched(best._replace(members=found.members))
            proven = best.proven and rival.proven
            best = (rival if rival.carriers is not best.carriers else best)._replace(proven=proven)
            barred.append(self._movable & ~found.members)
        return best._replace(proven=False)

    def more(self, best: Widest) -> More | None:
        """Return what moving one slot more buys, where that widens the margin; the least cost first."""
        if best.margin is None:
            return None
        slots, found, margin_now = self._problem.slots, None, best.margin
        others = [at for at in members_of(self._movable & ~best.members) if at in self._present]
        self._left = self._effort.stretches // 4
        for at in sorted(others, key=lambda one: (slots[one].touch, one)):
            if self._out():
                break
            members = best.members | 1 << at
            placed = self._aimed(members, margin_now + self._grain())
            changed = self._changes(placed.carriers)
            if placed.outcome == "found" and at in changed:
                reached = self._margin(placed.carriers)
                if reached is None:
                    break
                margin_now = reached
                found = More(at, sum(slots[one].touch for one in changed), reached)
        return found

    def _out(self) -> bool:
        return self._left <= 0 or self._clock.out()

    def _grain(self) -> int:
        return self._at(0).field.grain

    def _at(self, slack: int) -> Fitting:
        if slack not in self._fittings:
            if len(self._fittings) > _KEPT_FITTINGS:
                del self._fittings[max(self._fittings)]
            self._fittings[slack] = Fitting(self._problem, self._clock, slack)
        return self._fittings[slack]

    def _changes(self, placed: dict[int, int]) -> frozenset[int]:
        return frozenset(slot for slot, carrier in placed.items() if self._present.get(slot) != carrier)

    def _margin(self, placed: dict[int, int]) -> int | None:
        changed = self._changes(placed)
        return margin(self._problem, {**self._present, **placed}, changed) if changed else None

    def _stretched(self, start: Widest) -> Widest:
        """Raise the margin with a set of slots as far as it goes."""
        best, low, high, grain = start, start.margin, None, self._grain()
        while low is not None and (high is None or high - low > grain):
            if self._out():
                return best._replace(proven=False)
            aim = low + max(low, grain) if high is None else low + (high - low) // (2 * grain) * grain
            placed = self._aimed(start.members, aim)
            if placed.outcome == "found":
                low = self._margin(placed.carriers)
                best = best._replace(carriers=placed.carriers, margin=low)
            elif placed.outcome == "none":
                high = aim
            else:
                return best._replace(proven=False)
        return best

    def _aimed(self, members: int, slack: int) -> Placed:
        self._left -= 1
        stay = [slot for slot in members_of(self._movable & ~members) if slot in self._present]
        return self._at(slack).place(members_of(members), stay, _NODES, 1, self._effort.seed)
