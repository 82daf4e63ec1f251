"""The smallest repair of a plan: new carriers for links that need one, touching as little as can be.

Method: every clash of the plan as it stands, as far as its links may move, must lose one of them: a clause. The
lightest set of links with a member in each clause is tried: are there carriers for them, with everybody else where
they are? An exhaustive search answers. If not, those who stand in the way are found, and one of them must move
too: a further clause, which holds for every repair, since a link that stays is a link placed on its own carrier.
The first set that can be placed is a lightest one, and the clauses are the proof. (Implicit hitting sets: a known
scheme of combinatorial optimisation; from memory, not verified.)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.hitting import Ids, lightest
from planlint.assign.place import MARGIN_TOTAL, Clock, Placed, Searcher
from planlint.assign.proposal import Ground, More, Move, Proposal
from planlint.assign.state import Accepted, State
from planlint.facts.groups import channels
from planlint.facts.hands import retune
from planlint.plan.quantity import khz

if TYPE_CHECKING:
    from planlint.facts import Facts

#: Sets of equal weight that are compared by their margin.
_EQUALS = 40
#: Carriers tried to find out who is in the way; where that is not enough they all count as being so.
_EXPLAIN_NODES = 400
Progress = Callable[[str], None]


class _Found(NamedTuple):
    ids: Ids
    carriers: dict[str, int]
    margin_hz: int
    proven: bool


class Repair:
    """One repair."""

    def __init__(
        self, facts: Facts, *, accepted: Accepted = (), clock: Clock | None = None, seed: int = 0,
        progress: Progress = lambda _: None, margins: bool = True,
    ) -> None:  # fmt: skip
        """Keep what to repair.

        Args:
            facts: the plan's.
            accepted: what waivers cover.
            clock: how long to search.
            seed: of the orders in which carriers are tried.
            progress: told what is going on, for long searches.
            margins: look for the largest margin among equals; else the first that fits is taken.
        """
        self.state = State(facts, accepted)
        self.clock = clock or Clock()
        self.search = Searcher(self.state.air, self.clock, seed)
        self._progress = progress
        self._margins = margins
        self._grounds: dict[Ids, str] = {}
        self._bound = 0
        self._unsure = False
        self._spend = 0
        self._kept: _Found | None = None

    def run(self) -> Proposal:
        """Return the proposal; without moves where nothing must move, or nothing fits."""
        state = self.state
        stuck = tuple(name for name in sorted(state.must) if not len(state.domain(name)))
        if stuck:
            return self._nothing(stuck)
        clauses = self._clauses()
        if not clauses and not state.must:
            return self._say(None)
        more = None
        interrupted = compared = False
        try:
            self._kept = self._first(clauses)
            if self._kept is not None and self._margins:
                self._kept = self._widest(self._kept, clauses)
                compared = True
                more = self._more(self._kept)
        except KeyboardInterrupt:
            interrupted = True
        stopped = interrupted or self.clock.ran_out
        if self._kept is None and (stopped or self._unsure):
            self._kept = self._all_that_is_left()
        if self._kept is None:
            return self._nothing(())._replace(out_of_time=stopped or self._unsure)
        if not compared:
            self._kept = self._kept._replace(proven=False)
        return self._say(self._kept)._replace(more=more, out_of_time=stopped)

    def _clauses(self) -> list[Ids]:
        """Return what must lose a link, and keep the reasons."""
        found: list[Ids] = []
        for clash in self.state.clashes:
            ids = frozenset(clash.ids) & self.state.movable
            if ids and not ids & self.state.must:
                found.append(ids)
                far = f"{khz(clash.offset_hz)} kHz, limit {khz(clash.limit_hz)}"
                self._grounds.setdefault(ids, f"{clash.text} ({clash.rule}: {far})")
        return found

    def _first(self, clauses: list[Ids]) -> _Found | None:
        """Return a lightest set that can be placed; None where there is none, or the time is over."""
        state = self.state
        while not self.clock.out():
            found = lightest(clauses, state.weights, state.must)
            if found is None:
                return None
            if not self._unsure:
                self._bound = max(self._bound, found.bound)
            self._progress(f"at least {self._bound} touches; trying {len(found.ids)} links")
            placed = self._try(found.ids)
            if placed.outcome == "found":
                margin = self.search.margin(placed.carriers, self._fixed(found.ids))
                self._kept = _Found(found.ids, placed.carriers, margin, proven=False)
                self._spend = self.search.spent + MARGIN_TOTAL
                return self._measured(found.ids, placed, self.search.spent + MARGIN_TOTAL // 2)
            if placed.outcome == "unknown":
                self._unsure = True
                clauses.append(state.movable - found.ids)
            else:
                clauses.append(self._in_the_way(found.ids))
        return None

    def _try(self, ids: Ids, fixed: Iterable[str] | None = None, nodes: int | None = None) -> Placed:
        free = sorted(ids)
        domains = {name: self.state.domain(name) for name in free}
        return self.search.place(free, domains, self._fixed(ids, fixed), nodes=nodes, tries=4 if nodes is None else 1)

    def _fixed(self, ids: Ids, only: Iterable[str] | None = None) -> dict[str, int]:
        kept = self.state.facts.carriers if only is None else {name: self.state.facts.carriers[name] for name in only}
        return {name: carrier for name, carrier in kept.items() if name not in ids}

    def _in_the_way(self, ids: Ids) -> Ids:
        """Return links of which one must move too, since with them where they are these cannot be placed."""
        state = self.state
        stay = [name for name in sorted(state.movable - ids) if name in state.facts.carriers]
        always = [name for name in state.facts.carriers if name not in state.movable]
        if state.touched_by_waiver(ids):  # their own carriers may be accepted only where everybody stays
            return frozenset(stay)
        for name in list(stay):
            fewer = [other for other in stay if other != name]
            if self._try(ids, [*always, *fewer], _EXPLAIN_NODES).outcome == "none":
                stay = fewer
        found = frozenset(stay)
        if found:
            where = "where it is" if len(found) == 1 else "where they are"
            which = ", ".join(sorted(ids))
            self._grounds.setdefault(found, f"with {', '.join(sorted(found))} {where}, {which} find no carriers")
        return found

    def _measured(self, ids: Ids, placed: Placed, limit: int) -> _Found:
        fixed = self._fixed(ids)
        free = sorted(ids)
        if not self._margins:
            return _Found(ids, placed.carriers, self.search.margin(placed.carriers, fixed), proven=False)
        carriers, margin, proven = self.search.widest(
            free, {name: self.state.domain(name) for name in free}, fixed, placed, limit
        )
        return _Found(ids, carriers, margin, proven)

    def _widest(self, first: _Found, clauses: Sequence[Ids]) -> _Found:
        """Return the best by margin among all sets as light as the first."""
        state, best, proven = self.state, first, first.proven
        weight = sum(state.weights[name] for name in first.ids)
        tried = [*clauses, state.movable - first.ids]
        for _ in range(_EQUALS):
            found = lightest(tried, state.weights, state.must)
            if found is None or found.weight > weight:
                return best._replace(proven=proven)
            if self.clock.out() or self.search.spent > self._spend:
                break
            self._progress(f"{weight} touches; worst margin {khz(best.margin_hz)} kHz; comparing equals")
            placed = self._try(found.ids)
            if placed.outcome == "found":
                rival = self._measured(found.ids, placed, self._spend)
                proven = proven and rival.proven
                if rival.margin_hz > best.margin_hz:
                    self._kept = best = rival
            proven = proven and placed.outcome != "unknown"
            tried.append(state.movable - found.ids if placed.outcome != "none" else self._in_the_way(found.ids))
        return best._replace(proven=False)

    def _all_that_is_left(self) -> _Found | None:
        """Return a placing of everything that may move, where the search for less ran out of time."""
        self.search.clock = Clock(1.0)
        placed = self._try(self.state.movable)
        self.search.clock = self.clock
        if placed.outcome != "found":
            return None
        return _Found(
            self.state.movable,
            placed.carriers,
            self.search.margin(placed.carriers, self._fixed(self.state.movable)),
            proven=False,
        )

    def _more(self, best: _Found) -> More | None:
        """Return the best of moving one link more, where that widens the worst margin."""
        state, found = self.state, None
        for name in sorted(state.movable - best.ids, key=lambda name: (state.weights[name], name)):
            if self.clock.out() or self.search.spent > self._spend + MARGIN_TOTAL // 2:
                break
            ids = best.ids | {name}
            free, fixed = sorted(ids), self._fixed(ids)
            domains = {one: state.domain(one) for one in free}
            aim = (found.margin_hz if found else best.margin_hz) + 1
            placed = self.search.place(free, domains, fixed, aim)
            if placed.outcome == "found":
                margin = self.search.margin(placed.carriers, fixed)
                found = More(name, sum(state.weights[one] for one in ids), margin)
        return found

    def _nothing(self, stuck: tuple[str, ...]) -> Proposal:
        from planlint.assign.give_up import give_up

        tables = tuple(
            (name, tuple(sorted(self.state.grounds.allowed(self.state.plan.links[name]).lost.items())))
            for name in stuck
        )
        unfit = stuck or tuple(sorted(self.state.must | {name for ids in self._grounds for name in ids}))
        return self._say(None)._replace(unfit=unfit, no_carrier=tables, give_up=tuple(give_up(self.state, stuck)))

    def _say(self, best: _Found | None) -> Proposal:
        state = self.state
        moves = tuple(self._moves(best)) if best else ()
        movable = state.movable
        return Proposal(
            moves=moves,
            weight=sum(state.weigh(move.link) for move in moves),
            bound=self._bound,
            margin_hz=best.margin_hz if best and moves else None,
            margin_proven=best.proven if best else True,
            grounds=tuple(self._why_not_fewer()) if best else (),
            left=tuple(clash for clash in state.clashes if not movable & set(clash.ids)),
            left_alone=tuple((name, state.against[name]) for name in sorted(state.pinned & state.against.keys())),
            assumed=tuple(
                dict.fromkeys(
                    text for move in moves for text in state.grounds.allowed(state.plan.links[move.link]).assumed
                )
            ),
        )

    def _why_not_fewer(self) -> Iterator[Ground]:
        by_rule: dict[str, list[str]] = {}
        for name in sorted(self.state.must):
            reasons = self.state.against.get(name)
            by_rule.setdefault(reasons[0].rule if reasons else "no carrier yet", []).append(name)
        for rule, names in sorted(by_rule.items()):
            yield Ground(tuple(names), rule)
        for ids, why in sorted(self._grounds.items(), key=lambda item: (len(item[0]), sorted(item[0]))):
            yield Ground(tuple(sorted(ids)), why)

    def _moves(self, best: _Found) -> Iterator[Move]:
        state = self.state
        for name in sorted(best.carriers):
            link, new = state.plan.links[name], best.carriers[name]
            old = state.facts.carriers.get(name)
            if old == new:
                continue
            why = [reason.why for reason in state.against.get(name, ())]
            why += [
                f"{clash.text} ({khz(clash.offset_hz)} kHz, limit {khz(clash.limit_hz)})"
                for clash in state.clashes
                if name in clash.ids
            ]
            if old is None:
                why = ["no carrier yet"]
            stored = tuple((group, _channel(state, group, new)) for group in sorted(link.stored))
            yield Move(name, old, new, tuple(why), retune(state.plan, link), stored)


def _channel(state: State, group: str, carrier_hz: int) -> int | None:
    """Return the channel of a user group that holds a carrier, if one does."""
    held = channels(state.plan, group)
    return next((number for number in sorted(held) if held[number].carrier_hz == carrier_hz), None)
