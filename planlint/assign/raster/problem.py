"""What a search is asked: carriers to place, carriers that stay, and how far apart everything must keep.

All values are integers of one unit of the caller's choice (Hz, or steps of a raster). A relation of
`planlint.rf.intermodulation` is clear when its two sides are at least its guard apart, and its guard is the
largest that one of its members asks for, kind by kind; a guard of 0 in every member switches a kind off. Two
carriers are clear when they are at least their spacing apart. Exactly on a guard or a spacing is clear.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import gcd

from planlint.rf.intermodulation import Limits


@dataclass(frozen=True, slots=True)
class Fixed:
    """A carrier that stays where it is: it takes part in relations as a contributor and as a victim.

    Attributes:
        carrier: where it stands; need not be on the raster of what is placed.
        guards: what it asks of every relation it takes part in.
        spacing: the least distance from a placed carrier.
    """

    carrier: int
    guards: Limits
    spacing: int


@dataclass(frozen=True, slots=True)
class Packing:
    """Carriers of one kind to be placed, as many as fit or a given number.

    Attributes:
        allowed: where one may stand, in rising order.
        spacing: the least distance of two of them, at least 1.
        guards: what each asks of every relation it takes part in.
        fixed: carriers that stay.
        together: which of `fixed` are on the air together, by index; placed carriers are on with all of them.
            None: all of them at once.

    Raises:
        ValueError: `allowed` is not in rising order, a distance is out of range, or an index names no carrier.
    """

    allowed: tuple[int, ...]
    spacing: int
    guards: Limits
    fixed: tuple[Fixed, ...] = ()
    together: tuple[frozenset[int], ...] | None = None

    def __post_init__(self) -> None:
        _check_rising(self.allowed)
        if self.spacing < 1:
            raise ValueError(f"a spacing is at least 1, not {self.spacing}")
        _check_guards(self.guards, *(one.guards for one in self.fixed))
        _check_indices(self.together or (), len(self.fixed))

    @property
    def sets(self) -> tuple[frozenset[int], ...]:
        """Which fixed carriers are on together, by index; one empty set where there are none."""
        return self.together if self.together else (frozenset(range(len(self.fixed))),)

    def tightened(self, by: int) -> Packing:
        """Return the same with every guard that is on, and every spacing, larger by `by`."""
        fixed = tuple(Fixed(one.carrier, widened(one.guards, by), one.spacing + by) for one in self.fixed)
        return Packing(self.allowed, self.spacing + by, widened(self.guards, by), fixed, self.together)


@dataclass(frozen=True, slots=True)
class Slot:
    """One link of a repair.

    Attributes:
        carrier: where it stands now, or None.
        choices: where it may stand, in rising order; its present carrier is allowed only if it is among them.
        touch: what moving it costs, at least 1; a slot without a carrier costs the same and must be given one.
        kind: its row and column in the table of spacings.
        guards: what it asks of every relation it takes part in.
        pinned: it never moves, whatever its choices.
        ours: False for other people's carriers: pinned, and what happens among them alone is not looked at.
    """

    carrier: int | None
    choices: tuple[int, ...]
    touch: int = 1
    kind: int = 0
    guards: Limits = field(default=Limits(0, 0, 0, 0))
    pinned: bool = False
    ours: bool = True

    def __post_init__(self) -> None:
        _check_rising(self.choices)
        _check_guards(self.guards)
        if self.touch < 1:
            raise ValueError(f"a touch costs at least 1, not {self.touch}")
        if (self.pinned or not self.ours) and self.carrier is None:
            raise ValueError("a slot that never moves needs a carrier")

    @property
    def stays(self) -> bool:
        """Whether it never moves."""
        return self.pinned or not self.ours


@dataclass(frozen=True, slots=True)
class Repair:
    """Links of which some must move.

    Attributes:
        slots: the links.
        spacing: the least distance of two carriers by the kinds of their slots; symmetric.
        together: which slots are on the air together, by index; None: all of them at once.
        accepted: slots with a clash that is accepted as long as they all stay; it is no reason to move them.
        forbidden: carriers by slot, (slot, carrier) each, that are not taken together whatever else is right.
    """

    slots: tuple[Slot, ...]
    spacing: tuple[tuple[int, ...], ...]
    together: tuple[frozenset[int], ...] | None = None
    accepted: frozenset[int] = frozenset()
    forbidden: tuple[frozenset[tuple[int, int]], ...] = ()

    def __post_init__(self) -> None:
        _check_indices((*(self.together or ()), self.accepted), len(self.slots))
        for row in self.spacing:
            if len(row) != len(self.spacing):
                raise ValueError("the table of spacings is not square")
        if any(self.spacing[a][b] != self.spacing[b][a] for a in range(len(self.spacing)) for b in range(a)):
            raise ValueError("the table of spacings is not symmetric")
        if any(not 0 <= slot.kind < len(self.spacing) for slot in self.slots):
            raise ValueError("a slot's kind has no row in the table of spacings")

    @property
    def sets(self) -> tuple[frozenset[int], ...]:
        """Which slots are on together, by index."""
        return self.together if self.together is not None else (frozenset(range(len(self.slots))),)


def widened(guards: Limits, by: int) -> Limits:
    """Return guards that are larger by `by`; those that are off stay off."""
    return Limits(*(guard + by if guard else 0 for guard in guards))


def raster_of(values: Iterable[int]) -> tuple[int, int]:
    """Return (lowest, step) of the widest raster that holds all the values.

    One value lies on any raster: its step is the value itself, so that what is counted in steps stays small.
    """
    known = sorted(values)
    if not known:
        return 0, 1
    step = gcd(*(value - known[0] for value in known))
    return known[0], step or max(abs(known[0]), 1)


def channel_steps(
    low: int, high: int, step: int, closed: Sequence[tuple[int, int]] = (), reach: int = 0
) -> tuple[int, ...]:
    """Return low, low + step ... up to high, without those that reach into a closed stretch.

    Args:
        low: the first.
        high: the last that may be.
        step: their distance, at least 1.
        closed: stretches (from, to); a carrier is out when carrier ± reach overlaps one; touching does not.
        reach: how far an emission extends to either side of its carrier.
    """
    return tuple(
        carrier
        for carrier in range(low, high + 1, step)
        if not any(carrier + reach > start and carrier - reach < stop for start, stop in closed)
    )


def _check_rising(values: Sequence[int]) -> None:
    if any(later <= earlier for earlier, later in itertools.pairwise(values)):
        raise ValueError("carriers must be given in rising order, each once")


def _check_guards(*guards: Limits) -> None:
    if any(guard < 0 for one in guards for guard in one):
        raise ValueError("a guard cannot be negative")


def _check_indices(sets: Iterable[frozenset[int]], count: int) -> None:
    for together in sets:
        if together and not 0 <= min(together) <= max(together) < count:
            raise ValueError(f"there are {count} carriers, and a set names {sorted(together)}")
