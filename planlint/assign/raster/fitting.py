"""Placing some slots of a repair among others that keep their carriers: exhaustive search over exact masks.

For each set of slots that are on the air together there is one state of masks; where a slot may still go is what
its choices and every set it is in leave free. The slot with the fewest places left goes first; slots alike in
every respect take rising carriers, so that one order of them is tried and not all.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from planlint.assign.clock import Clock
from planlint.assign.raster.field import Field, States
from planlint.assign.raster.masks import positions
from planlint.assign.raster.problem import Repair

Outcome = Literal["found", "none", "unknown"]
_DRAWN = 12
"""Places compared at each choice of a search that has begun again."""
_SHORT = 5
"""A first look and each new beginning try this part of the carriers that the last, whole search may try."""


class Placed(NamedTuple):
    """A placing by slot; `none` is a proof that there is none, `unknown` that the search gave up."""

    outcome: Outcome
    carriers: dict[int, int]


class _GaveUpError(Exception):
    pass


class Fitting:
    """Searches placings of a repair, with every guard and spacing larger by `slack`."""

    def __init__(self, problem: Repair, clock: Clock, slack: int = 0) -> None:
        """Lay out the masks; needs at least one choice among the slots that may move."""
        self.field = Field(problem, slack)
        self._slots = problem.slots
        self._clock = clock
        self._left = 0
        self._forbidden = [
            {slot: self.field.index(carrier) for slot, carrier in together} for together in problem.forbidden
        ]
        self._names = self._alike()

    def _alike(self) -> list[int]:
        field = self.field
        seen: dict[object, int] = {}
        named = {slot for together in self._forbidden for slot in together}
        found = []
        for at in range(len(self._slots)):
            alone = at in named or not field.sets_of[at]
            key: object = at if alone else (field.classes[at], field.choices[at], field.sets_of[at])
            found.append(seen.setdefault(key, len(seen)))
        return found

    def place(self, free: Sequence[int], kept: Sequence[int], nodes: int, tries: int = 0, seed: int = 0) -> Placed:
        """Find carriers for some slots while others keep theirs and the rest are off.

        A short look comes first, then new beginnings in other orders, then the whole search.

        Args:
            free: the slots to place.
            kept: slots that keep their present carriers, which stand on the raster.
            nodes: carriers to try before giving up.
            tries: how often to begin again.
            seed: of the orders of new beginnings.
        """
        field = self.field
        states = field.with_kept(field.start, kept)
        domains = {slot: field.room(states, slot) for slot in free}
        if not all(domains.values()) or not self._enough(domains):
            return Placed("none", {})
        present = {slot: field.index_of(slot) for slot in kept}
        short = max(nodes // _SHORT, 1) if tries else nodes
        for attempt in range(tries + 2 if tries else 1):
            again = 0 < attempt <= tries
            self._left = nodes if attempt > tries else short
            order = random.Random(f"{seed}/{attempt}") if again else None  # noqa: S311  no secret
            try:
                found = self._go(states, domains, present, order)
            except _GaveUpError:
                if self._clock.out():
                    break
                continue
            if found is None:
                return Placed("none", {})
            return Placed("found", {slot: field.carrier(index) for slot, index in found.items()})
        return Placed("unknown", {})

    def room(self, slot: int, kept: Sequence[int]) -> int:
        """Return how many of its choices a slot has left among others that keep their carriers."""
        return self.field.room(self.field.with_kept(self.field.start, kept), slot).bit_count()

    def allowed(self, placed: Mapping[int, int]) -> bool:
        """Say whether positions by slot hold nothing that is forbidden together."""
        return not any(together.items() <= placed.items() for together in self._forbidden)

    def _go(
        self, states: States, domains: dict[int, int], placed: dict[int, int], order: random.Random | None
    ) -> dict[int, int] | None:
        if not domains:
            return {}
        slot = min(domains, key=lambda one: (domains[one].bit_count(), one))
        for index in self._order(states, domains, slot, order):
            self._left -= 1
            if self._left < 0 or (self._left % 64 == 0 and self._clock.out()):
                raise _GaveUpError
            with_it = {**placed, slot: index} if self._forbidden else placed
            if self._forbidden and not self.allowed(with_it):
                continue
            after = self.field.with_one(states, slot, index)
            smaller = self._narrowed(after, domains, slot, index)
            if smaller is not None:
                found = self._go(after, smaller, with_it, order)
                if found is not None:
                    found[slot] = index
                    return found
        return None

    def _order(self, states: States, domains: dict[int, int], slot: int, order: random.Random | None) -> Iterable[int]:
        """Return where a slot may go: rising, or first those of a few drawn that leave the others the most room."""
        found = positions(domains[slot])
        if order is None:
            return found
        order.shuffle(found)
        if len(domains) == 1:
            return found

        def room(index: int) -> int:
            after = self.field.with_one(states, slot, index)
            return sum(self.field.room(after, other).bit_count() for other in domains if other != slot)

        return sorted(found[:_DRAWN], key=room, reverse=True) + found[_DRAWN:]

    def _narrowed(self, states: States, domains: dict[int, int], slot: int, index: int) -> dict[int, int] | None:
        field, below = self.field, (1 << index) - 1
        left = {}
        for other, domain in domains.items():
            if other == slot:
                continue
            for at in field.sets_of[other]:
                domain &= states[at].free[field.classes[other]]
            if self._names[other] == self._names[slot]:
                domain = domain & below if other < slot else domain & ~below
            if not domain:
                return None
            left[other] = domain
        return left if self._enough(left) else None

    def _enough(self, domains: dict[int, int]) -> bool:
        """Say whether slots alike have room by spacing alone, counted from the lowest carrier up."""
        together: dict[int, tuple[int, int, int]] = {}
        for slot, domain in domains.items():
            name = self._names[slot]
            count, mask, _ = together.get(name, (0, 0, 0))
            together[name] = (count + 1, mask | domain, self.field.apart[self.field.classes[slot]])
        for count, mask, apart in together.values():
            while count > 1 and mask:
                index = (mask & -mask).bit_length() - 1
                mask = mask >> (index + apart) << (index + apart)
                count -= 1
            if count > 1 or not mask:
                return False
        return True
