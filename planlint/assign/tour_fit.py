"""One search for carriers over several dates at once: a link that stays has one carrier for all of them.

The dates become time slots of one show: links and others of one date are on with each other and with nobody of
another date. So the search for one show answers for the tour, exactly, and a "none" is a proof.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from planlint.assign.clock import Clock
from planlint.assign.raster.field import TooFineError
from planlint.assign.raster.fitting import Fitting
from planlint.assign.raster.problem import Repair, Slot
from planlint.assign.tour_nights import Night
from planlint.facts import limits, relations, spacing
from planlint.rf.intermodulation import Limits

Outcome = Literal["found", "none", "unknown"]
#: What tells links apart that limits tell apart: kind ("" for somebody else's), whether it is wide, emission in Hz.
_Class = tuple[str, bool, int]
#: Searches for a larger margin.
_WIDER = 12


class Stay(NamedTuple):
    """A link that keeps one carrier at every date from `first` to `last`, both included, where it is used."""

    link: str
    first: int
    last: int


class Fit(NamedTuple):
    """Carriers in Hz by stay; `none` is a proof that there are none, `unknown` that the search gave up."""

    outcome: Outcome
    carriers: dict[Stay, int]


class Fitter:
    """Searches carriers for stays; the same seed gives the same answer while the time lasts.

    Attributes:
        links: the links used at any date.
        exact: whether every limit is the contract's; where a link's emission differs between dates the widest is
            taken for all of them, and a "none" is reported as unknown.
    """

    def __init__(
        self, nights: Sequence[Night], clock: Clock, seed: int = 0, given: Mapping[str, int] | None = None
    ) -> None:
        """Keep the dates.

        Args:
            nights: in order.
            clock: how long to search.
            seed: of the orders in which carriers are tried.
            given: the first date's carriers in Hz, where they are not free to choose.
        """
        self.nights = nights
        self._given = given
        self.clock = clock
        self._seed = seed
        self._choices: dict[Stay, frozenset[int]] = {}
        self.links = tuple(sorted({link for night in nights for link in night.leads}))
        widths = [(link, night.facts.widths[night.leads[link]]) for night in nights for link in night.leads]
        self._widths = {link: max(width for other, width in widths if other == link) for link in self.links}
        self.exact = all(self._widths[link] == width for link, width in widths)

    def used(self, link: str) -> list[int]:
        """Return the dates on which a link is used, by index."""
        return [at for at, night in enumerate(self.nights) if link in night.leads]

    def choices(self, stay: Stay) -> frozenset[int]:
        """Return the carriers in Hz that a link may take at every date of a stay."""
        if stay not in self._choices:
            lines = [self.line(stay.link, at) for at in self.used(stay.link) if stay.first <= at <= stay.last]
            self._choices[stay] = frozenset.intersection(*sorted(lines, key=len))
        return self._choices[stay]

    def line(self, link: str, at: int) -> frozenset[int]:
        """Return the carriers in Hz that a link may take at a date, by index."""
        if at == 0 and self._given is not None:
            return self.nights[0].choices(link) & {self._given[link]}
        return self.nights[at].choices(link)

    def fit(self, stays: Sequence[Stay], *, nodes: int = 4_000, tries: int = 3, slack_hz: int = 0) -> Fit:
        """Find carriers for stays; each date they cover holds all its links, once.

        Args:
            stays: who keeps one carrier from when until when.
            nodes: carriers to try in one go before giving up.
            tries: how often to begin again in another order.
            slack_hz: how far past every limit they must keep.
        """
        if any(not self.choices(stay) for stay in stays):
            return Fit("none", {})
        if not stays:
            return Fit("found", {})
        if all(len(self.choices(stay)) == 1 for stay in stays):
            return self._only(stays, slack_hz)
        if self.clock.out():
            return Fit("unknown", {})
        try:
            fitting = Fitting(self._problem(stays), self.clock, slack_hz)
        except TooFineError:
            return Fit("unknown", {})
        placed = fitting.place(range(len(stays)), (), nodes, tries, self._seed)
        if placed.outcome == "none" and not self.exact:
            return Fit("unknown", {})
        return Fit(placed.outcome, {stay: placed.carriers[at] for at, stay in enumerate(stays) if placed.carriers})

    def _only(self, stays: Sequence[Stay], slack_hz: int) -> Fit:
        """Judge the one set that there is: a single carrier makes no raster to search on."""
        carriers = {stay: min(self.choices(stay)) for stay in stays}
        stands = self.margin(carriers) >= slack_hz
        return Fit("found", carriers) if stands else Fit("none" if self.exact else "unknown", {})

    def margin(self, carriers: Mapping[Stay, int]) -> int:
        """Return how far in Hz the nearest thing that a link takes part in is past its limit, at any date."""
        least = 10**12
        for at, night in enumerate(self.nights):
            on = {night.leads[stay.link]: hz for stay, hz in carriers.items() if self._covers(stay, at)}
            if on:
                everyone = {**night.staying, **on}
                least = min(least, *(night.state.air.margin(name, everyone) for name in on))
        return least

    def _covers(self, stay: Stay, at: int) -> bool:
        return stay.first <= at <= stay.last and stay.link in self.nights[at].leads

    def widened(self, found: Fit, tries: int = _WIDER) -> tuple[Fit, int]:
        """Return carriers for the same stays with as large a worst margin as some tries find, and it in Hz."""
        low, high = self.margin(found.carriers), None
        for _ in range(tries):
            if low >= 10**11 or (high is not None and high - low <= 1_000) or self.clock.out():
                break
            aim = max(2 * low, low + 10_000) if high is None else (low + high) // 2
            wider = self.fit(tuple(found.carriers), nodes=1_000, tries=2, slack_hz=aim)
            if wider.outcome == "found":
                found, low = wider, self.margin(wider.carriers)
            else:
                high = aim
        return found, low

    def _problem(self, stays: Sequence[Stay]) -> Repair:
        classes: list[_Class] = []

        def row(one: _Class) -> int:
            if one not in classes:
                classes.append(one)
            return classes.index(one)

        links = [self._link(stay) for stay in stays]
        slots = [
            Slot(None, tuple(sorted(self.choices(stay))), kind=row(one), guards=self._guards(one[-1]))
            for stay, one in zip(stays, links, strict=True)
        ]
        together: set[frozenset[int]] = set()
        for at, night in enumerate(self.nights):
            ours = {stay.link: index for index, stay in enumerate(stays) if stay.first <= at <= stay.last}
            if not ours:
                continue
            index = {night.leads[link]: place for link, place in ours.items() if link in night.leads}
            for name, carrier in night.staying.items():
                if name in night.plan.others:
                    width = night.facts.widths[name]
                    index[name] = len(slots)
                    slots.append(
                        Slot(carrier, (), kind=row(("", False, width)), guards=self._guards(width), ours=False)
                    )
            together |= {frozenset(index[name] for name in ids if name in index) for ids in night.facts.together}
        apart = tuple(tuple(self._apart(one, other) for other in classes) for one in classes)
        sets = tuple(sorted((on for on in together if on), key=sorted))
        return Repair(tuple(slots), apart, sets)

    def _link(self, stay: Stay) -> _Class:
        link = self.nights[0].plan.links[stay.link]
        return link.kind or "?", link.wide_emission is not None, self._widths[stay.link]

    def _guards(self, width_hz: int) -> Limits:
        air = self.nights[0].state.air
        return Limits(*(air.limit(kind, width_hz) for kind in relations.KINDS))

    def _apart(self, one: _Class, other: _Class) -> int:
        plan = self.nights[0].plan
        (kind, wide, width), (kind_2, wide_2, width_2) = one, other
        if not kind or not kind_2:
            return max(1, (width + width_2) // 2)
        alike = (None if wide or kind == "?" else kind, None if wide_2 or kind_2 == "?" else kind_2)
        need = max(1, spacing.limit_hz(plan, alike, (width, width_2)))
        if {kind, kind_2} == {"ear", "mic"}:
            need = max(need, limits.hertz(plan, "spacing_khz.ear_to_mic", 0).hz)
        return need
