"""Any repair at all, and then a cheaper one, where an exact search takes too long: take some out, place them again.

In each round a few slots are taken out together with those that have no place yet, and placed again one by one,
the one with the least room first, where the others keep the most room. What is no worse is kept. Once everybody has
a place, every other round puts somebody who moved back to where it stands, and takes out whoever is in the way there.

Sources: ruin and recreate, G. Schrimpf et al., Journal of Computational Physics 159 (2000) 139-171 and the
chance of getting worse, S. Kirkpatrick et al., Science 220 (1983) 671-680 (both from memory, not verified).
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from planlint.assign.clock import Clock
from planlint.assign.raster.clashes import clashes
from planlint.assign.raster.field import States
from planlint.assign.raster.fitting import Fitting
from planlint.assign.raster.problem import Repair

_LOOKS = 6
"""Places compared for a slot."""
_OUT = (2, 7)
"""How many slots are taken out besides those without a place: at least, at most."""
_BACK = 0.5
"""How often somebody goes back, once everybody has a place."""
_HEAT = 0.3
"""How much worse a round may make things: more than d costs by exp(-d / heat). Found by measurement, as is the next."""
_WITHOUT = 4
"""What a slot without a place costs besides moving it."""
_STALE = 500
"""Rounds after which a repair that has not become cheaper is taken."""
_HOME = 0.7
"""How often a slot is put back where it stands at present, if it can be."""


class Loose:
    """One such search, on the masks of a fitting.

    Attributes:
        fewest: the fewest slots found to be left over while all others have a place; None before a search.
    """

    def __init__(self, problem: Repair, fitting: Fitting, clock: Clock, seed: str) -> None:
        """Keep what to search; the same seed makes the same choices."""
        slots = problem.slots
        self._problem, self._fitting, self._field = problem, fitting, fitting.field
        self._clock = clock
        self._rng = random.Random(seed)  # noqa: S311  no secret
        self._weights = [slot.touch for slot in slots]
        self._home = {
            at: self._field.index(slot.carrier)
            for at, slot in enumerate(slots)
            if not slot.stays and slot.carrier is not None and slot.carrier in slot.choices
        }
        self._stay = {at: slot.carrier for at, slot in enumerate(slots) if slot.stays and slot.carrier is not None}
        self.fewest: tuple[int, ...] | None = None
        self._placed: dict[int, int] = {}
        self._out: list[int] = []

    def run(
        self, unplaced: Sequence[int], kept: Sequence[int], known: dict[int, int] | None, rounds: int
    ) -> dict[int, int] | None:
        """Return carriers by slot of the cheapest repair found, or None.

        Args:
            unplaced: slots to place.
            kept: slots that begin where they are.
            known: a repair to begin from instead, as carriers by slot.
            rounds: how often to take out and place again.
        """
        everyone = sorted({*unplaced, *kept})
        self._placed = {slot: self._field.index_of(slot) for slot in kept}
        if known is not None:
            self._placed |= {slot: self._field.index(carrier) for slot, carrier in known.items()}
            self._out = [slot for slot in everyone if slot not in self._placed]
        else:
            self._out = sorted(unplaced)
            self._round(())
        best, since = dict(self._placed) if not self._out else None, 0
        self.fewest = tuple(self._out)
        for _ in range(rounds):
            if self._clock.out() or since > _STALE:
                break
            moved = [] if self._out else self._moved()
            if moved and self._rng.random() < _BACK:
                self._back(self._rng.choice(moved))
            else:
                self._round(self._chosen())
            since += best is not None
            if len(self._out) < len(self.fewest):
                self.fewest = tuple(self._out)
            if not self._out and (best is None or self._cost(self._placed) < self._cost(best)):
                best, since = dict(self._placed), 0
        if best is None:
            return None
        return {slot: self._field.carrier(index) for slot, index in sorted(best.items())}

    def _cost(self, placed: dict[int, int]) -> int:
        return sum(self._weights[slot] for slot, index in placed.items() if self._home.get(slot) != index)

    def _chosen(self) -> list[int]:
        count = min(self._rng.randint(*_OUT), len(self._placed))
        return self._rng.sample(sorted(self._placed), count)

    def _moved(self) -> list[int]:
        placed = sorted(self._placed.items())
        return [slot for slot, index in placed if slot in self._home and self._home[slot] != index]

    def _back(self, slot: int) -> None:
        """Put a slot back to where it stands, and place again whoever is in the way there."""
        there = {**self._placed, slot: self._home[slot]}
        carriers = self._stay | {one: self._field.carrier(index) for one, index in there.items()}
        moved, out = set(self._moved()), set[int]()
        for clash in clashes(self._problem, carriers):
            if slot in clash.slots and not out & set(clash.slots):
                others = [one for one in clash.slots if one != slot and one in self._placed]
                if not others:
                    return
                out.add(self._rng.choice([one for one in others if one in moved] or others))
        self._place_again({one: index for one, index in there.items() if one not in out}, sorted(out))

    def _round(self, chosen: Sequence[int]) -> None:
        again = [*self._out, *chosen]
        self._place_again({slot: index for slot, index in self._placed.items() if slot not in again}, again)

    def _place_again(self, staying: dict[int, int], again: Sequence[int]) -> None:
        states = self._field.start
        for slot, index in staying.items():
            states = self._field.with_one(states, slot, index)
        placed, out = self._recreate(states, again, staying)
        worth = self._worth(placed, out)
        chance = -_HEAT * math.log(1 - self._rng.random())
        if self._allowed(placed) and worth <= self._worth(self._placed, self._out) + chance:
            self._placed, self._out = placed, out

    def _worth(self, placed: dict[int, int], out: Sequence[int]) -> int:
        return self._cost(placed) + sum(self._weights[slot] for slot in out) + _WITHOUT * len(out)

    def _allowed(self, placed: dict[int, int]) -> bool:
        return self._fitting.allowed(placed)

    def _recreate(
        self, states: States, again: Sequence[int], staying: dict[int, int]
    ) -> tuple[dict[int, int], list[int]]:
        field, rng = self._field, self._rng
        placed, left, out = dict(staying), list(again), []
        while left:
            rooms = {slot: field.room(states, slot) for slot in left}
            slot = min(left, key=lambda one: (rooms[one].bit_count(), rng.random()))
            left.remove(slot)
            if not rooms[slot]:
                out.append(slot)
                continue
            home = self._home.get(slot)
            if home is not None and rooms[slot] >> home & 1 and rng.random() < _HOME:
                states = field.with_one(states, slot, home)
                placed[slot] = home
                continue
            tried = {}
            for _ in range(_LOOKS if left else 1):
                index = self._any(rooms[slot])
                tried[index] = field.with_one(states, slot, index)
            index = max(tried, key=lambda one: (sum(self._free(tried[one], other) for other in left), one))
            states = tried[index]
            placed[slot] = index
        return placed, sorted(out)

    def _free(self, states: States, slot: int) -> int:
        return min(self._field.room(states, slot).bit_count(), 50)

    def _any(self, room: int) -> int:
        start = int(self._rng.random() * room.bit_length())
        above = room >> start
        if above:
            return start + (above & -above).bit_length() - 1
        return (room & -room).bit_length() - 1
