"""The smallest repair of a plan: new carriers for links that need one, touching as little as can be.

The search is planlint/assign/raster/repair.py; here a plan goes in as slots and a proposal in the plan's words
comes out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from planlint.assign.clock import Clock
from planlint.assign.laid import Laid, laid
from planlint.assign.proposal import Ground, More, Move, Proposal
from planlint.assign.raster import outcome
from planlint.assign.raster.outcome import Effort, Repaired, Why
from planlint.assign.raster.repair import repair
from planlint.assign.state import Accepted, State
from planlint.facts.groups import channels
from planlint.facts.hands import retune
from planlint.finding import Touch
from planlint.plan.quantity import khz

if TYPE_CHECKING:
    from planlint.facts import Facts

Progress = Callable[[str], None]
#: Of the time there is, for carriers; the rest is for what would have to give where there are none.
_SEARCH = 0.7


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
        self._effort = Effort(seed=seed) if margins else Effort(seed=seed, equals=0)
        self._progress = progress
        self._forbidden: list[Mapping[str, int]] = []

    def forbid(self, together: Mapping[str, int]) -> None:
        """Never again propose these carriers in Hz together, by link."""
        leaders = self.state.facts.leaders
        self._forbidden.append({leaders.get(name, name): carrier_hz for name, carrier_hz in together.items()})

    def run(self) -> Proposal:
        """Return the proposal; without moves where nothing must move, or nothing fits.

        Raises:
            TooFineError: the carriers that links may take lie on no raster that can be searched.
        """
        state = self.state
        stuck = tuple(name for name in sorted(state.must) if not len(state.domain(name)))
        if stuck:
            return self._nothing(stuck)
        ground = laid(state, self._forbidden)
        if not state.must and not any(set(clash.ids) & state.movable for clash in state.clashes):
            return self._with_followers(self._say())
        left = self.clock.left()
        clock = Clock(None if left is None else left * _SEARCH)
        found = repair(ground.problem, clock=clock, effort=self._effort, progress=self._tell, present=ground.clashes)
        if found.moves is None:
            without = tuple(ground.names[slot] for slot in found.without or ())
            clauses = [self._ids(ground, why) for why in found.whys]
            nothing = self._nothing((), clauses, interrupted=found.interrupted)
            return nothing._replace(out_of_time=not found.proven, without=without)
        stopped = found.interrupted or clock.ran_out
        return self._with_followers(self._say(ground, found)._replace(out_of_time=stopped))

    def _with_followers(self, said: Proposal) -> Proposal:
        """Return the proposal with links that take the carrier of the wide emission they are in."""
        state, moved = self.state, {move.link for move in said.moves}
        more = []
        for name, lead in state.followers.items():
            if name not in moved:
                set_already = set(retune(state.plan, state.plan.links[lead]))
                touches = tuple(one for one in retune(state.plan, state.plan.links[name]) if one not in set_already)
                why = (f"no carrier yet; {lead} has the one of their emission",)
                more.append(Move(name, None, state.facts.carriers[lead], why, touches, ()))
        extra = sum(len(move.touches) for move in more)
        grounds = tuple(Ground((move.link,), move.why[0]) for move in more)
        return said._replace(
            moves=tuple(sorted((*said.moves, *more))),
            weight=said.weight + extra,
            bound=said.bound + extra,
            grounds=(*grounds, *said.grounds),
        )

    def _tell(self, bound: int, cost: int | None) -> None:
        best = "" if cost is None else f"; {cost} would do"
        self._progress(f"at least {bound} touches{best}")

    def _ids(self, ground: Laid, why: Why) -> tuple[str, ...]:
        return tuple(ground.names[slot] for slot in why.movers)

    def _nothing(
        self, stuck: tuple[str, ...], clauses: list[tuple[str, ...]] | None = None, *, interrupted: bool = False
    ) -> Proposal:
        from planlint.assign.give_up import give_up

        tables = tuple(
            (name, tuple(sorted(self.state.grounds.allowed(self.state.plan.links[name]).lost.items())))
            for name in stuck
        )
        unfit = stuck or tuple(sorted(self.state.must | {name for ids in clauses or () for name in ids}))
        ways = () if interrupted else tuple(give_up(self.state, stuck, self.clock))
        cut = interrupted or self.clock.ran_out
        return self._say()._replace(unfit=unfit, no_carrier=tables, give_up=ways, give_up_cut=cut)

    def _say(self, ground: Laid | None = None, found: Repaired | None = None) -> Proposal:
        state = self.state
        moves = tuple(self._moves(ground, found.moves)) if ground and found and found.moves else ()
        return Proposal(
            moves=moves,
            weight=found.cost if found else 0,
            bound=found.bound if found else 0,
            margin_hz=found.margin if found else None,
            margin_proven=found.margin_proven if found else True,
            grounds=tuple(self._why_not_fewer(ground, found)) if ground and found else (),
            more=self._more(ground, found.more) if ground and found else None,
            left=tuple(clash for clash in state.clashes if not state.movable & set(clash.ids)),
            left_alone=tuple((name, state.against[name]) for name in sorted(state.pinned & state.against.keys())),
            assumed=tuple(
                dict.fromkeys(
                    text for move in moves for text in state.grounds.allowed(state.plan.links[move.link]).assumed
                )
            ),
        )

    def _more(self, ground: Laid, more: outcome.More | None) -> More | None:
        return More(ground.names[more.slot], more.cost, more.margin) if more else None

    def _why_not_fewer(self, ground: Laid, found: Repaired) -> Iterator[Ground]:
        by_rule: dict[str, list[str]] = {}
        for name in sorted(self.state.must):
            reasons = self.state.against.get(name)
            by_rule.setdefault(reasons[0].rule if reasons else "no carrier yet", []).append(name)
        for rule, names in sorted(by_rule.items()):
            yield Ground(tuple(names), rule)
        for why in sorted(found.whys, key=lambda why: (len(why.movers), why.movers)):
            ids = self._ids(ground, why)
            if why.clash is None:
                where = "where it is" if len(ids) == 1 else "where they are"
                none = "finds no carrier" if len(why.unplaced) == 1 else "find no carriers"
                which = ", ".join(ground.names[slot] for slot in why.unplaced)
                yield Ground(ids, f"with {', '.join(ids)} {where}, {which} {none}")
            else:
                clash = ground.words[why.clash]
                far = f"{khz(clash.offset_hz)} kHz, limit {khz(clash.limit_hz)}"
                yield Ground(ids, f"{clash.text} ({clash.rule}: {far})")

    def _moves(self, ground: Laid, carriers: Mapping[int, int]) -> Iterator[Move]:
        state = self.state
        for slot, new in sorted(carriers.items(), key=lambda item: ground.names[item[0]]):
            name = ground.names[slot]
            why = [reason.why for reason in state.against.get(name, ())]
            why += [
                f"{clash.text} ({khz(clash.offset_hz)} kHz, limit {khz(clash.limit_hz)})"
                for clash in state.clashes
                if name in clash.ids
            ]
            touches: dict[str, list[Touch]] = {}
            for link, touch in state.touches(name):
                touches.setdefault(link.id, []).append(touch)
            for link in state.members(name):
                old = state.facts.carriers.get(link.id)
                if old != new:
                    stored = tuple((group, _channel(state, group, new)) for group in sorted(link.stored))
                    told = (
                        tuple(why or [f"it shares an emission with {name}"]) if old is not None else ("no carrier yet",)
                    )
                    yield Move(link.id, old, new, told, tuple(touches.get(link.id, ())), stored)


def _channel(state: State, group: str, carrier_hz: int) -> int | None:
    """Return the channel of a user group that holds a carrier, if one does."""
    held = channels(state.plan, group)
    return next((number for number in sorted(held) if held[number].carrier_hz == carrier_hz), None)
