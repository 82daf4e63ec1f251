"""What a repair proposes, as values; the output formats only show it."""

from __future__ import annotations

from typing import NamedTuple

from planlint.assign.allowed import Reason
from planlint.assign.clash import Clash
from planlint.finding import Touch

#: What a touch of each kind weighs: one unit to enter something on, or one entry of a pack's listening list.
#: Common practice, no source: at the rack or on a belt, a unit is one pair of hands and one reading of the display.
WEIGHTS = {"transmitter": 1, "receiver": 1, "pack": 1, "spare pack": 1, "list entry": 1}


class Move(NamedTuple):
    """A link's new carrier.

    Attributes:
        link: its id.
        old_hz: where it stands; None where it has no carrier yet.
        new_hz: where it goes.
        why: what is wrong where it stands, in words.
        touches: what is touched at its ends.
        stored: for each user group the plan recalls it from, the channel that holds the new carrier; None: none does.
    """

    link: str
    old_hz: int | None
    new_hz: int
    why: tuple[str, ...]
    touches: tuple[Touch, ...]
    stored: tuple[tuple[str, int | None], ...]


class Ground(NamedTuple):
    """A reason why not fewer can be touched: one of `one_of` must move, as `why` says."""

    one_of: tuple[str, ...]
    why: str


class More(NamedTuple):
    """What moving one link more would buy: the link, its touches, and the worst margin in Hz then."""

    link: str
    touches: int
    margin_hz: int


class GiveUp(NamedTuple):
    """A constraint that would have to give for everything to fit, and how far.

    Attributes:
        what: which, in the contract's names.
        now: what it is now, in words with its unit.
        then: the greatest it could be.
    """

    what: str
    now: str
    then: str


class Proposal(NamedTuple):
    """The result of a repair.

    Attributes:
        moves: new carriers, in order of link; none where nothing has to move, or where nothing fits.
        weight: how many touches they take.
        bound: the fewest any repair takes; equal to `weight` where that is proven.
        margin_hz: how far past its limit the nearest thing is that a moved link takes part in; None without moves.
        margin_proven: no other repair of the same weight has a larger one.
        grounds: why not fewer.
        more: what one link more would buy; None where nothing, or where there was no time.
        unfit: links for which no carrier was found together with the others; then there are no moves.
        no_carrier: for a link that may take no carrier at all, how many of those it can tune each rule closes.
        give_up: what would have to give, the first first.
        without: where nothing was found, the fewest links with which off all others found carriers.
        give_up_cut: the time was over before every constraint was tried.
        left: faults that no move of a link that may move can clear.
        left_alone: reasons against carriers of links that are pinned, by link.
        assumed: what was taken for granted, in words.
        out_of_time: the search was stopped by the clock or by the user.
    """

    moves: tuple[Move, ...] = ()
    weight: int = 0
    bound: int = 0
    margin_hz: int | None = None
    margin_proven: bool = True
    grounds: tuple[Ground, ...] = ()
    more: More | None = None
    unfit: tuple[str, ...] = ()
    no_carrier: tuple[tuple[str, tuple[tuple[str, int], ...]], ...] = ()
    give_up: tuple[GiveUp, ...] = ()
    give_up_cut: bool = False
    without: tuple[str, ...] = ()
    left: tuple[Clash, ...] = ()
    left_alone: tuple[tuple[str, tuple[Reason, ...]], ...] = ()
    assumed: tuple[str, ...] = ()
    out_of_time: bool = False

    @property
    def proven(self) -> bool:
        """Whether no repair touches less."""
        return self.weight == self.bound and not self.unfit
