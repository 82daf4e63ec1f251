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
        interrupted: a keyboard interrupt ended the search.
    """

    first: int
    last: int
    carriers: dict[str, int]
    margin_hz: int | None
    proven: bool
    interrupted: bool

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
    search = _Sliding(fitter, without, progress)
    interrupted = False
    try:
        search.run()
        search.widen()
    except KeyboardInterrupt:
        interrupted = True
    carriers = {stay.link: carrier for stay, carrier in search.fit.carriers.items()}
    margin = fitter.margin(search.fit.carriers)
    near = margin if carriers and margin < 10**11 else None
    last = search.first + search.length - 1
    return Run(search.first, last, carriers, near, search.proven and not interrupted, interrupted)


class _Sliding:
    def __init__(self, fitter: Fitter, without: Mapping[int, Outcome], progress: Progress) -> None:
        self.fitter = fitter
        self.without = without
        self.progress = progress
        self.first = self.length = 0
        self.fit = Fit("found", {})
        self.proven = False

    def run(self) -> None:
        count, at, sure = len(self.fitter.nights), 0, True
        while at + self.length < count:
            if self.fitter.clock.out():
                return
            last = at + self.length
            barred = [outcome for date, outcome in self.without.items() if at <= date <= last]
            found = Fit("none" if "none" in barred else "unknown", {}) if barred else window(self.fitter, at, last)
            if found.outcome == "found":
                self.first, self.length, self.fit = at, self.length + 1, found
                self.progress(f"one set stands for {self.length} of {count} dates")
            else:
                sure = sure and found.outcome == "none"
                at += 1
        self.proven = sure

    def widen(self) -> None:
        if self.fit.carriers:
            self.fit, _ = self.fitter.widened(self.fit)


def window(fitter: Fitter, first: int, last: int) -> Fit:
    """Find one set for all dates from `first` to `last`, both included."""
    links = sorted({link for night in fitter.nights[first : last + 1] for link in night.leads})
    return fitter.fit([Stay(link, first, last) for link in links])
