"""Where a repair begins: who may move, who must, what clashes, and what a touch weighs."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property
from typing import TYPE_CHECKING

from planlint.assign.allowed import Grounds, Reason
from planlint.assign.clash import EARS_MICS, Air, Clash
from planlint.assign.proposal import WEIGHTS
from planlint.facts.hands import retune

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
        """Links used tonight, by id."""
        return tuple(name for name in sorted(self.plan.links) if self.plan.links[name].used)

    @cached_property
    def pinned(self) -> frozenset[str]:
        """Links with a carrier that a proposal never moves."""
        return frozenset(
            name for name in self.used if self.plan.links[name].pinned is not None and name in self.facts.carriers
        )

    @cached_property
    def against(self) -> dict[str, tuple[Reason, ...]]:
        """What speaks against links' own carriers, whatever the others do, waivers counted."""
        found = {}
        for name in self.used:
            if name in self.facts.carriers:
                reasons = self.grounds.against(self.plan.links[name], self.facts.carriers[name])
                hard = tuple(
                    one for one in reasons if not one.soft and not self._is_accepted(one.rule, frozenset({name}))
                )
                if hard:
                    found[name] = hard
        return found

    @cached_property
    def must(self) -> frozenset[str]:
        """Links that need another carrier: they have none, or theirs is not allowed."""
        without = {name for name in self.used if name not in self.facts.carriers}
        return frozenset(without | (self.against.keys() - self.pinned))

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
        link = self.plan.links[name]
        spares = {pack.id for pack in link.packs if pack.stands_in_for}
        packs = {pack.id for pack in link.packs}
        total = 0
        for touch in retune(self.plan, link):
            if touch.entry is not None:
                total += WEIGHTS["list entry"]
            elif touch.unit in packs:
                total += WEIGHTS["spare pack" if touch.unit in spares else "pack"]
            else:
                total += WEIGHTS["receiver" if touch.unit == link.rx else "transmitter"]
        return total

    def domain(self, name: str) -> Carriers:
        """Return what a link may take, and its own carrier where that is allowed."""
        import numpy as np

        if name not in self._domains:
            carriers = set(self.grounds.allowed(self.plan.links[name]).carriers_hz)
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
