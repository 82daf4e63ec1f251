"""The smallest repair: new carriers for slots that need one, at the least cost, and why it cannot cost less.

Method: of every clash among the present carriers one member must move: a clause. A lightest set that hits every
clause is tried: are there carriers for it while everybody else stays? Where an exhaustive search says no, a few of
those who stay are found that already leave no room; one of them must move: a further clause, true of every repair.
The first lightest set that can be placed is a cheapest repair, and the clauses prove it. Meanwhile heavier sets
give an answer for the time that runs out. (Implicit hitting sets, a known scheme of combinatorial optimisation;
from memory, not verified.) Among the cheapest sets the one with the largest worst margin is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planlint.assign.clock import Clock
from planlint.assign.raster.clashes import Clash, clashes, margin
from planlint.assign.raster.fitting import Fitting, Placed
from planlint.assign.raster.hitting import bits, lightest, members_of, weigh
from planlint.assign.raster.loose import Loose
from planlint.assign.raster.margin import Widening
from planlint.assign.raster.outcome import Effort, More, Repaired, Why
from planlint.assign.raster.problem import Repair

_PATIENCE = 8
"""Sets that cannot be placed before any repair at all is looked for; then after twice as many, and so on."""
_SHORT = 10
"""A first search for a placing tries this part of the carriers that the last, whole one may try."""
_EXPLAIN = 1_000
"""Carriers tried to find out who is in the way."""
Progress = Callable[[int, int | None], None]
"""Told the bound and the cost of the best repair so far, each time one of them changes."""


def repair(
    problem: Repair, *, clock: Clock | None = None, effort: Effort | None = None,
    progress: Progress = lambda _bound, _cost: None, present: Sequence[Clash] | None = None,
) -> Repaired:  # fmt: skip
    """Return a cheapest repair, and among the cheapest one with the largest worst margin.

    Args:
        problem: the slots.
        clock: how long to search.
        effort: how hard.
        progress: told how it goes.
        present: what clashes among the carriers as they are; None: whatever does. Given, it may lack those that
            are accepted, whose slots are then in the problem's `accepted`.

    Raises:
        TooFineError: the choices have no raster that can be searched.
    """
    search = _Search(problem, clock or Clock(), effort or Effort(), progress)
    return search.run(present)


class _Search:
    def __init__(self, problem: Repair, clock: Clock, effort: Effort, progress: Progress) -> None:
        self.problem, self.clock, self.effort, self.progress = problem, clock, effort, progress
        slots = problem.slots
        self.weights = [slot.touch for slot in slots]
        self.present = {at: slot.carrier for at, slot in enumerate(slots) if slot.carrier is not None}
        self.must = tuple(at for at, slot in enumerate(slots) if not slot.stays and slot.carrier not in slot.choices)
        self.hopeless = tuple(at for at in self.must if not slots[at].choices)
        self.movable = bits([at for at, slot in enumerate(slots) if not slot.stays and slot.choices])
        self.clauses: list[int] = []
        self.whys: list[Why] = []
        self.stuck: list[Clash] = []
        self.bound = weigh(bits(self.must), self.weights)
        self.best: dict[int, int] | None = None
        self.best_set = 0
        self.doubts = 0
        self.asked = 0
        self.without: tuple[int, ...] | None = None
        self.margin: int | None = None
        self.margin_proven = False
        self.more: More | None = None
        self._looked = False
        self._fitting: Fitting | None = None

    def run(self, present: Sequence[Clash] | None) -> Repaired:
        impossible, interrupted = bool(self.hopeless), False
        if not impossible:
            self._known_clashes(present)
            try:
                impossible = self._cheapest()
                if self.best is not None:
                    self._widest()
                elif not self.asked and self.movable:
                    self._anything(self.movable)
            except KeyboardInterrupt:
                interrupted = True
        moves = None if self.best is None else self.changes(self.best)
        cost = sum(self.weights[slot] for slot in moves or ())
        if moves and self.margin is None:
            self.margin = margin(self.problem, {**self.present, **moves}, frozenset(moves))
        return Repaired(
            moves=moves,
            cost=cost,
            bound=min(self.bound, cost) if moves is not None else self.bound,
            proven=impossible or (moves is not None and cost <= self.bound),
            margin=self.margin,
            margin_proven=self.margin_proven,
            more=self.more,
            must=self.must,
            whys=tuple(self.whys),
            hopeless=self.hopeless,
            stuck=tuple(self.stuck),
            without=self.without if moves is None else None,
            interrupted=interrupted,
        )

    @property
    def fitting(self) -> Fitting:
        if self._fitting is None:
            self._fitting = Fitting(self.problem, self.clock)
        return self._fitting

    def _known_clashes(self, present: Sequence[Clash] | None) -> None:
        leaving = set(self.must)
        if present is None:
            staying = {slot: carrier for slot, carrier in self.present.items() if slot not in leaving}
            present = clashes(self.problem, staying)
        for clash in present:
            clause = bits(clash.slots) & self.movable
            if not clause:
                self.stuck.append(clash)
            elif not leaving & set(clash.slots):
                self._add(clause, clash, ())

    def _add(self, clause: int, clash: Clash | None, unplaced: Sequence[int]) -> None:
        if clause not in self.clauses:
            self.clauses.append(clause)
            self.whys.append(Why(tuple(members_of(clause)), clash, tuple(unplaced)))

    def _cheapest(self) -> bool:
        """Search until the best is proven, or effort or time end; return whether it is proven that nothing fits."""
        if not self.must and not self.clauses:
            self.best = {}
            return False
        tried = 0
        while not self.clock.out() and self.doubts <= self.effort.doubts:
            found = lightest(self.clauses, self.weights, bits(self.must))
            if found is None:
                return not self.doubts and self.best is None
            if not self.doubts and found.bound > self.bound:
                self.bound = found.bound
                self.progress(self.bound, None if self.best is None else self.cost())
            if self.best is not None and (self.cost() <= self.bound or found.weight >= self.cost()):
                return False
            placed = self._try(found.members, nodes=self.effort.nodes // _SHORT)
            if placed.outcome == "unknown":
                self._anything(found.members)
                if self.best is not None and self.cost() <= found.weight:
                    continue
                placed = self._try(found.members, tries=0)
            if placed.outcome == "found":
                self._keep(found.members, placed.carriers)
                if not self.doubts:
                    return False
                continue
            if self._hopeless_anyway():
                return True
            if placed.outcome == "none":
                self._add(*self._in_the_way(found.members))
                tried += 1
            else:
                self.doubts += 1
                self.clauses.append(self.movable & ~found.members)
            if self.best is None and tried >= _PATIENCE and tried & (tried - 1) == 0:
                self._anything(found.members)
        return False

    def _hopeless_anyway(self) -> bool:
        """Say whether it is soon proven that no carriers fit even where everybody moves; looked at once."""
        if self.best is not None or self._looked:
            return False
        self._looked = True
        return self._try(self.movable, nodes=_EXPLAIN, tries=0).outcome == "none"

    def cost(self) -> int:
        return 0 if self.best is None else sum(self.weights[slot] for slot in self.changes(self.best))

    def changes(self, placed: dict[int, int]) -> dict[int, int]:
        return {slot: carrier for slot, carrier in sorted(placed.items()) if self.present.get(slot) != carrier}

    def kept(self, members: int) -> list[int]:
        return [slot for slot in members_of(self.movable & ~members) if slot in self.present]

    def _try(
        self, members: int, kept: Sequence[int] | None = None, nodes: int | None = None, tries: int | None = None
    ) -> Placed:
        stay = self.kept(members) if kept is None else kept
        effort = self.effort
        nodes, tries = nodes or effort.nodes, effort.tries if tries is None else tries
        return self.fitting.place(members_of(members), stay, nodes, tries, effort.seed)

    def _keep(self, members: int, carriers: dict[int, int]) -> None:
        known = None if self.best is None else self.cost()
        cost = sum(self.weights[slot] for slot in self.changes(carriers))
        if known is None or cost < known:
            self.best, self.best_set = carriers, members
            self.progress(self.bound, cost)

    def _in_the_way(self, members: int) -> tuple[int, None, list[int]]:
        """Return a clause: slots that leave no room for these; one of them must move."""
        stay = self.kept(members)
        unplaced = members_of(members)
        if self.problem.accepted & set(unplaced):
            return bits(stay), None, unplaced  # where these are is accepted only as long as nobody moves
        alone = [slot for slot in unplaced if not self.fitting.room(slot, stay)]
        unplaced = alone[:1] or unplaced
        size = len(stay)
        while size:
            size = (size + 1) // 2
            at = 0
            while at < len(stay):
                fewer = stay[:at] + stay[at + size :]
                if self._try(bits(unplaced), fewer, _EXPLAIN, 0).outcome == "none":
                    stay = fewer
                else:
                    at += size
            size = 0 if size == 1 else min(size, len(stay))
        return bits(stay), None, unplaced

    def _anything(self, members: int) -> None:
        """Look for any repair at all, and for less than the best one, without proof."""
        loose = Loose(self.problem, self.fitting, self.clock, f"{self.effort.seed}/{self.asked}")
        known = self.best if self.asked % 2 else None
        self.asked += 1
        found = loose.run(members_of(members), self.kept(members), known, self.effort.loose)
        if self.without is None or (loose.fewest is not None and len(loose.fewest) < len(self.without)):
            self.without = loose.fewest
        if found is not None:
            self._keep(bits([*self.changes(found), *self.must]), found)

    def _widest(self) -> None:
        assert self.best is not None
        if not self.effort.equals or not self.changes(self.best):
            self.margin_proven = not self.changes(self.best)
            return
        widening = Widening(self.problem, self.clock, self.effort, self.movable)
        cheapest = self.cost() <= self.bound
        widest = widening.run(self.best, self.best_set, self.cost(), self.clauses, bits(self.must))
        self.best, self.best_set, self.margin = widest.carriers, widest.members, widest.margin
        self.margin_proven = widest.proven and cheapest
        self.more = widening.more(widest)
