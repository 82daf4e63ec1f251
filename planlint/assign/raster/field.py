"""The ground of a repair: one state of masks for each set of slots that are on the air together."""

from __future__ import annotations

from collections.abc import Iterable
from math import gcd

from planlint.assign.raster.layout import Raster
from planlint.assign.raster.masks import Masks, State, mask_of
from planlint.assign.raster.problem import Repair, raster_of, widened

States = tuple[State, ...]
MOST_POSITIONS = 4_000_000
"""Finer rasters are not searched: every mask would be as long."""


class TooFineError(ValueError):
    """The choices have no common raster that is coarse enough to search on."""


class Field:
    """Masks of a repair, with every guard and spacing larger by `slack`.

    Attributes:
        raster: positions of all choices.
        start: the states with only those on that never move.
        choices: for each slot its choices as bits; none for those that never move.
        classes: for each slot its class of masks.
        sets_of: for each slot the sets it is in, by index of `start`.
        apart: for each class the least distance of two of it in positions.
        grain: every margin is a multiple of this; so are all offsets and limits.
    """

    def __init__(self, problem: Repair, slack: int = 0) -> None:
        """Lay out the masks.

        Raises:
            TooFineError: the choices have no raster that can be searched.
        """
        self._slots = slots = problem.slots
        movable = [slot for slot in slots if not slot.stays]
        origin, step = raster_of({choice for slot in movable for choice in slot.choices})
        last = max(choice for slot in movable for choice in slot.choices)
        if (last - origin) // step >= MOST_POSITIONS:
            raise TooFineError(f"{(last - origin) // step + 1} positions at steps of {step}")
        self.raster = Raster(origin, step, (last - origin) // step + 1)
        kinds = list(dict.fromkeys((slot.kind, slot.guards) for slot in movable))
        placed = len(kinds)
        kinds += [kind for kind in dict.fromkeys((s.kind, s.guards) for s in slots if s.stays) if kind not in kinds]
        self.classes = [kinds.index((slot.kind, slot.guards)) for slot in slots]
        stays = [slot.carrier - origin for slot in slots if slot.stays and slot.carrier is not None]
        limits = [limit for _, guards in kinds for limit in guards]
        self.grain = gcd(step, *stays, *limits, *(limit for row in problem.spacing for limit in row))
        spacing = [[problem.spacing[a][b] + slack if problem.spacing[a][b] else 0 for b, _ in kinds] for a, _ in kinds]
        places = [place // step for place in stays]
        span = (min(places, default=0) - 1, max(places, default=0) + 1)
        guards = [widened(guards, slack) for _, guards in kinds]
        self._masks = Masks(self.raster, guards, spacing, placed, span)
        self.apart = [-(-spacing[who][who] // step) for who in range(len(kinds))]
        self.choices = [0 if s.stays else mask_of([(c - origin) // step for c in s.choices]) for s in slots]
        self.sets_of = [tuple(at for at, on in enumerate(problem.sets) if slot in on) for slot in range(len(slots))]
        self.start: States = tuple(self._masks.around(self._fixed(on)) for on in problem.sets)

    def _fixed(self, on: frozenset[int]) -> list[tuple[int, int]]:
        found = []
        for at in sorted(on):
            carrier = self._slots[at].carrier
            if self._slots[at].stays and carrier is not None:
                found.append((carrier, self.classes[at]))
        return found

    def index(self, carrier: int) -> int:
        """Return the position of a carrier on the raster."""
        return (carrier - self.raster.origin) // self.raster.step

    def index_of(self, slot: int) -> int:
        """Return the position of the present carrier of a slot that has one among its choices."""
        carrier = self._slots[slot].carrier
        assert carrier is not None
        return self.index(carrier)

    def carrier(self, index: int) -> int:
        """Return the carrier at a position."""
        return self.raster.origin + self.raster.step * index

    def with_one(self, states: States, slot: int, index: int) -> States:
        """Return the states with one slot placed besides."""
        new = list(states)
        for at in self.sets_of[slot]:
            new[at] = self._masks.add(states[at], index, self.classes[slot])
        return tuple(new)

    def with_kept(self, states: States, kept: Iterable[int]) -> States:
        """Return the states with some slots besides on their present carriers."""
        for slot in kept:
            states = self.with_one(states, slot, self.index_of(slot))
        return states

    def room(self, states: States, slot: int) -> int:
        """Return where a slot can go, as bits."""
        left = self.choices[slot]
        for at in self.sets_of[slot]:
            left &= states[at].free[self.classes[slot]]
        return left
