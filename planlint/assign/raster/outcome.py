"""What a repair may cost in effort, and what it found, as values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from planlint.assign.raster.clashes import Clash


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to search; where the clock does not end it, the answer is the same on every machine.

    Attributes:
        nodes: carriers tried in one search for a placing.
        tries: how often such a search begins again in another order.
        doubts: searches that may end without an answer before no smaller repair is looked for.
        loose: rounds of the search that takes any repair it can get, where an exact one takes too long.
        equals: cheapest sets that are compared by their margin; 0: take the first, do not look at margins.
        stretches: placings tried for larger margins, in all.
        seed: of the orders.
    """

    nodes: int = 200_000
    tries: int = 4
    doubts: int = 12
    loose: int = 2_000
    equals: int = 30
    stretches: int = 300
    seed: int = 0


class Why(NamedTuple):
    """A clause: one of `movers` must move.

    With a clash, because of it; else because with all of them where they are, `unplaced` find no carriers.
    """

    movers: tuple[int, ...]
    clash: Clash | None
    unplaced: tuple[int, ...]


class More(NamedTuple):
    """What moving one slot more would buy: the slot, the cost in all, and the margin that it reaches at least."""

    slot: int
    cost: int
    margin: int


class Repaired(NamedTuple):
    """What was found.

    Attributes:
        moves: new carriers by slot, only those that differ from the present ones; None: nothing fits, or nothing
            was found in time (`proven` tells which).
        cost: of the moves; 0 without.
        bound: no repair costs less.
        proven: `cost` is the bound, or it is proven that nothing fits.
        margin: how far the nearest thing that a moved slot takes part in is past its limit; None: nothing limits it.
        margin_proven: no repair of that cost has a larger one.
        more: what one slot more would buy; None: nothing, or it was not looked for.
        must: slots without a carrier, or whose own is not among their choices.
        whys: the clauses that prove the bound, besides `must`.
        hopeless: slots that must move and have no choice at all.
        stuck: clashes of slots none of which may move.
        without: where nothing was found, the fewest slots with which off all others found carriers; None: not sought.
        interrupted: a keyboard interrupt ended it.
    """

    moves: dict[int, int] | None
    cost: int
    bound: int
    proven: bool
    margin: int | None
    margin_proven: bool
    more: More | None
    must: tuple[int, ...]
    whys: tuple[Why, ...]
    hopeless: tuple[int, ...]
    stuck: tuple[Clash, ...]
    without: tuple[int, ...] | None
    interrupted: bool
