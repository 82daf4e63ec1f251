"""The tour matrix: tonight's carriers at every venue, what survives them all, how long a set lasts, the fewest touches."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import NamedTuple

from planlint.assign.clock import Clock
from planlint.assign.tour_fit import Fitter, Outcome
from planlint.assign.tour_nights import Night, Tour
from planlint.assign.tour_runs import Run, longest, window
from planlint.assign.tour_search import fewest
from planlint.assign.tour_table import Row, Survivors, rows, survivors
from planlint.assign.tour_touches import Sets, Touches

Progress = Callable[[str], None]
#: Seconds for a look at each date alone, however short the search may be.
_ALONE = 5.0


class Written(NamedTuple):
    """The tour as its files have it: touches between the dates, and whether every set is clear without waivers."""

    touches: int
    clear: bool


class Matrix(NamedTuple):
    """What became of it.

    Attributes:
        tour: the venues.
        tonight: the index among all of them of the one that was asked about.
        rows: tonight's carriers, venue by venue in the order of `tour.all`.
        survivors: carriers that stand at every venue.
        tonight_lasts: the dates, by index from and to, around tonight for which tonight's set stands as it is; None
            where tonight has no date or its own set does not stand.
        run: the longest run of dates for one set; dates are indices into `tour.nights`.
        no_set: dates, by index, for which no set at all was found; `none` says that there is none.
        dates: the dates, by index, that the touches are counted over: all but those.
        written: the tour as written; None where a link that is used has no carrier.
        touches: the fewest found, the first date's carriers free to choose; its dates are indices into `dates`.
        from_tonight: the same from tonight on with tonight's carriers as written; its dates are indices into what
            `dates` holds from tonight on. None where tonight's set does not stand, or nothing comes after it.
        waived: a waiver accepts something somewhere: sets were searched that do without.
    """

    tour: Tour
    tonight: int
    rows: tuple[Row, ...]
    survivors: tuple[Survivors, ...]
    tonight_lasts: tuple[int, int] | None
    run: Run
    no_set: Mapping[int, Outcome]
    dates: tuple[int, ...]
    written: Written | None
    touches: Touches
    from_tonight: Touches | None
    waived: bool

    @property
    def interrupted(self) -> bool:
        """Whether a keyboard interrupt ended one of the searches."""
        later = self.from_tonight is not None and self.from_tonight.interrupted
        return self.run.interrupted or self.touches.interrupted or later


def matrix(
    tour: Tour, tonight: Night, seconds: float | None, seed: int = 0, progress: Progress = lambda _: None
) -> Matrix:
    """Work out the matrix of a tour of at least two venues.

    Args:
        tour: its venues.
        tonight: one of them.
        seconds: how long the searches may take; None: to their end.
        seed: of the searches.
        progress: told what is going on.
    """
    table = rows(tonight, tour.all)
    clock = Clock(seconds)
    fitter = Fitter(tour.nights, Clock(None if seconds is None else max(seconds, _ALONE)), seed)
    alone = [window(fitter, at, at) for at in range(len(tour.nights))]
    no_set = {at: fit.outcome for at, fit in enumerate(alone) if fit.outcome != "found"}
    dates = tuple(at for at in range(len(tour.nights)) if at not in no_set)
    part = clock if seconds is None else clock.part(seconds / 3)
    run = longest(Fitter(tour.nights, part, seed), no_set, progress)
    clock.ran_out = run.interrupted
    nights = tuple(tour.nights[at] for at in dates)
    written = _written(nights)
    known: list[Sets] = [tuple({stay.link: hz for stay, hz in alone[at].carriers.items()} for at in dates)]
    if written is not None and written.clear:
        known.append(tuple(_set_of(night) for night in nights))
    part = clock if seconds is None or clock.ran_out else clock.part(seconds / 3)
    from_tonight = _from_tonight(nights, tonight, known[0], part, seed, progress)
    clock.ran_out = clock.ran_out or (from_tonight is not None and from_tonight.interrupted)
    touches = fewest(Fitter(nights, clock, seed), known, seed, progress)
    _judge(nights, touches.carriers)
    _judge(tour.nights[run.first : run.last + 1], (run.carriers,) * run.length)
    return Matrix(
        tour,
        tour.all.index(tonight),
        table,
        survivors(tour.all),
        _lasts(tour, tonight, table),
        run,
        no_set,
        dates,
        written,
        touches,
        from_tonight,
        any(night.waived for night in tour.all),
    )


def _from_tonight(
    nights: tuple[Night, ...], tonight: Night, alone: Sets, clock: Clock, seed: int, progress: Progress
) -> Touches | None:
    if tonight not in nights[:-1]:
        return None
    at = nights.index(tonight)
    given = _set_of(tonight)
    if tonight.wrong(given):
        return None
    found = fewest(Fitter(nights[at:], clock, seed, given), [(given, *alone[at + 1 :])], seed, progress)
    _judge(nights[at:], found.carriers)
    return found


def _judge(nights: tuple[Night, ...], sets: Sets) -> None:
    """Hold what was found against the rules once more, in another way than the search did."""
    for night, carriers in zip(nights, sets, strict=False):
        wrong = night.wrong({link: carriers[link] for link in night.leads})
        if wrong:
            raise RuntimeError(f"a set found for {night.plan.file} does not stand: {'; '.join(wrong[:3])}")


def _lasts(tour: Tour, tonight: Night, table: tuple[Row, ...]) -> tuple[int, int] | None:
    if tonight not in tour.nights:
        return None
    at = tour.nights.index(tonight)

    def stands(date: int) -> bool:
        return all(row.cells[date].stands or not row.cells[date].used for row in table if row.link)

    if not stands(at):
        return None
    first = last = at
    while first and stands(first - 1):
        first -= 1
    while last + 1 < len(tour.nights) and stands(last + 1):
        last += 1
    return first, last


def _written(nights: tuple[Night, ...]) -> Written | None:
    if any(night.written(link) is None for night in nights for link in night.leads):
        return None
    total = 0
    for link in {link for night in nights for link in night.leads}:
        there = [night for night in nights if link in night.leads]
        total += sum(
            after.weigh(link) for before, after in pairwise(there) if before.written(link) != after.written(link)
        )
    return Written(total, not any(night.wrong(_set_of(night)) for night in nights))


def _set_of(night: Night) -> dict[str, int]:
    """Return a date's carriers in Hz as written; none for a link without one."""
    found = {link: night.written(link) for link in night.leads}
    return {link: carrier for link, carrier in found.items() if carrier is not None}
