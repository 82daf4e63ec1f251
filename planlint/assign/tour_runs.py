"""How long one set of carriers lasts: the longest run of consecutive dates that a single set stands for.

A set that stands for a run stands for every part of it, so a window that slides over the dates and only ever grows
finds the longest in one pass: with every start tried at one date more than the best so far, and none found, no
longer run exists. Each try is an exhaustive search; where one gave up, the answer is only the longest found.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from planlint.assign.tour_fit import Fit, Fitter, Outcome, Stay

Progress = Callable[[str], None]


class Run(NamedTuple):
    """A run of dates and a set for it.

    Attributes:
        first: its first date, by index.
        last: its last date, by index; before `first` where no set stands for even one date.
        carriers: the set in Hz, by link.
        margin_hz: how far past its limit the nearest thing in it is, at any of the dates; None: nothing is near.
        proven: no longer run is possible.
    """

    first: int
    last: int
    carriers: dict[str, int]
    margin_hz: int | None
    proven: bool

    @property
    def length(self) -> int:
        """How many dates."""
        return self.last - self.first + 1


def longest(fitter: Fitter, without: Mapping[int, Outcome], progress: Progress = lambda _: None) -> Run:
    """Return the longest run of the fitter's dates that one set stands for.

    Args:
        fitter: the dates.
        without: dates, by index, for which no set was found at all, and whether that is proven (`none`).
        progress: told of every longer run.
    """
    best, fit = Run(0, -1, {}, None, proven=True), Fit("found", {})
    proven = True
    count = len(fitter.nights)
    first = 0
    while first + best.length < count and not fitter.clock.out():
        last = first + best.length
        barred = [outcome for at, outcome in without.items() if first <= at <= last]
        found = Fit("none" if "none" in barred else "unknown", {}) if barred else window(fitter, first, last)
        if found.outcome == "found":
            best, fit = best._replace(first=first, last=last), found
            progress(f"one set stands for {best.length} of {count} dates")
        else:
            proven = proven and found.outcome == "none"
            first += 1
    proven = proven and first + best.length >= count
    if not fit.carriers:
        return best._replace(proven=proven)
    fit, margin = fitter.widened(fit)
    carriers = {stay.link: carrier for stay, carrier in fit.carriers.items()}
    return best._replace(carriers=carriers, margin_hz=margin if margin < 10**11 else None, proven=proven)


def window(fitter: Fitter, first: int, last: int) -> Fit:
    """Find one set for all dates from `first` to `last`, both included."""
    links = sorted({link for night in fitter.nights[first : last + 1] for link in night.leads})
    return fitter.fit([Stay(link, first, last) for link in links])
