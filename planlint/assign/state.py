"""Where a repair begins: who may move, who must, what clashes, and what a touch weighs."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from planlint.assign.allowed import Grounds, Reason
from planlint.assign.clash import EARS_MICS, Air, Clash
from planlint.assign.proposal import WEIGHTS
from planlint.facts.hands import retune
from planlint.finding import Touch
from planlint.plan.model import Link

if TYPE_CHECKING:
    from planlint.assign.clash import Carriers
    from planlint.facts import Facts

#: A rule and ids: a finding of it that names them all is accepted where it stands (a waiver covers it).
Accepted = Collection[tuple[str, frozenset[str]]]


class State:
    """The plan as it stands, for a repair."""

    def __init__(self, facts: Facts, accepted: Accepted = ()) -> None:
        self.facts = facts
        self.plan = facts.plan
        self.grounds = Grounds(facts)
        self.air = Air(facts)
        self._accepted = tuple(accepted)

    @cached_property
    def used(self) -> tuple[str, ...]:
        """Links used tonight on a carrier of ours, by id; of those in one wide emission, the one that stands for it."""
        links = self.plan.links
        return tuple(name for name in sorted(links) if links[name].wants_carrier and self.facts.leads(name))

    def members(self, name: str) -> tuple[Link, ...]:
        """Return the links that move with one: itself, or all of its wide emission."""
        links = self.plan.links
        shared = [other for other, leader in self.facts.leaders.items() if leader == name]
        return tuple(links[other] for other in sorted({name, *shared}))

    @cached_property
    def pinned(self) -> frozenset[str]:
        """Links with a carrier that a proposal never moves."""
        held = (name for name in self.used if any(link.pinned is not None for link in self.members(name)))
        return frozenset(name for name in held if name in self.facts.carriers)

    @cached_property
    def against(self) -> dict[str, tuple[Reason, ...]]:
        """What speaks against links' own carriers, whatever the others do, waivers counted."""
        found = {}
        for name in self.used:
            hard = tuple(reason for link in self.members(name) for reason in self._hard(link))
            if hard:
                found[name] = hard
        return found

    def _hard(self, link: Link) -> Iterator[Reason]:
        if link.id in self.facts.carriers:
            for one in self.grounds.against(link, self.facts.carriers[link.id]):
                if not one.soft and not self._is_accepted(one.rule, frozenset({link.id})):
                    yield one

    @cached_property
    def must(self) -> frozenset[str]:
        """Links that need another carrier: they have none, or theirs is not allowed."""
        without = {name for name in self.used if name not in self.facts.carriers}
        return frozenset(without | (self.against.keys() - self.pinned))

    @cached_property
    def followers(self) -> dict[str, str]:
        """Links without a carrier in a wide emission that has one, and the link that stands for it."""
        leaders, carriers = self.facts.leaders, self.facts.carriers
        return {name: lead for name, lead in sorted(leaders.items()) if name not in carriers and lead in carriers}

    @cached_property
    def movable(self) -> frozenset[str]:
        """Links that may move and have somewhere to go."""
        free = (name for name in self.used if name not in self.pinned)
        return frozenset(name for name in free if name in self.must or len(self.domain(name)))

    @cached_property
    def _clashes(self) -> tuple[Clash, ...]:
        return tuple(self.air.clashes(self.facts.carriers))

    @cached_property
    def clashes(self) -> tuple[Clash, ...]:
        """What clashes as the plan stands, waivers counted."""
        return tuple(one for one in self._clashes if not self._is_accepted(one.rule, frozenset(one.ids)))

    @cached_property
    def accepted(self) -> tuple[Clash, ...]:
        """What clashes as the plan stands and is accepted there."""
        return tuple(one for one in self._clashes if self._is_accepted(one.rule, frozenset(one.ids)))

    @cached_property
    def weights(self) -> dict[str, int]:
        """How much it takes to move each movable link."""
        return {name: self.weigh(name) for name in self.movable}

    def weigh(self, name: str) -> int:
        """Return how much it takes to move a link."""
        touches = {(touch.unit, touch.entry): self._weight(link, touch) for link, touch in self.touches(name)}
        return sum(touches.values())

    def touches(self, name: str) -> Iterator[tuple[Link, Touch]]:
        """Yield what a move touches, and for which of the links that move; what several share comes once."""
        seen = set()
        for link in self.members(name):
            for touch in retune(self.plan, link):
                if (touch.unit, touch.entry) not in seen:
                    seen.add((touch.unit, touch.entry))
                    yield link, touch

    def _weight(self, link: Link, touch: Touch) -> int:
        packs = {pack.id: pack for pack in link.packs}
        if touch.entry is not None:
            return WEIGHTS["list entry"]
        if touch.unit in packs:
            return WEIGHTS["spare pack" if packs[touch.unit].stands_in_for else "pack"]
        return WEIGHTS["receiver" if touch.unit == link.rx else "transmitter"]

    def domain(self, name: str) -> Carriers:
        """Return what a link may take, and its own carrier where that is allowed."""
        import numpy as np

        if name not in self._domains:
            allowed = [self.grounds.allowed(link).carriers_hz for link in self.members(name)]
            carriers = set(allowed[0]).intersection(*allowed[1:])
            if name in self.facts.carriers and name not in self.against:
                carriers.add(self.facts.carriers[name])
            self._domains[name] = np.array(sorted(carriers), dtype=np.int64)
        return self._domains[name]

    @cached_property
    def _domains(self) -> dict[str, Carriers]:
        return {}

    def _is_accepted(self, rule: str, ids: frozenset[str]) -> bool:
        if rule == EARS_MICS:  # the rule names only the nearest microphone of an ear link
            ids = frozenset(name for name in ids if self.plan.links[name].kind == "ear")
        return any(rule == name and ids <= covered for name, covered in self._accepted)
