"""Spare carriers: clear with everybody who is on, and with each other, so that all of them could be used at once.

Asked for all, as many as can be found are placed on the raster, with a bound that no set can exceed. Asked for a
number, so many are placed, and then the worst margin is raised: the margins that can occur are halved again and
again, and at each the number is placed once more with every limit that much larger, or is proven not to fit. The
same is done for all of them where more are proven impossible and time is left.
"""

from __future__ import annotations

import time
from bisect import bisect_right
from collections.abc import Callable, Mapping
from dataclasses import replace
from math import gcd
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.packing import air_with_spares, spare_packing
from planlint.assign.raster.problem import Packing, raster_of
from planlint.assign.spare_fill import Fills, free_carriers
from planlint.assign.spare_repack import repacked
from planlint.plan.model import Kind

if TYPE_CHECKING:
    from planlint.facts import Facts

RASTER_MOST = 4_000_000
"""On a raster of more positions than this, fills take the place of the raster search."""
_FILLS, _ALL_FILLS = 12, 48
_NAMES = 400
_ROUNDS = 2
_REPACK_WORK, _REPACK_SHARE = 24_000_000, 0.3
_FINEST_HZ = 1_000
_NOTHING_NEAR_HZ = 10**11


class Found(NamedTuple):
    """A spare: its carrier in Hz, how far past its limit the nearest thing is, and the links that can all tune it.

    `margin_hz` is None where nothing is near that has a limit.
    """

    carrier_hz: int
    margin_hz: int | None
    links: tuple[str, ...]


class Ladder(NamedTuple):
    """Spares in the order to use them, the best first.

    Attributes:
        kind: of link.
        asked: how many; None: as many as fit.
        spares: what was found.
        candidates: how many carriers the links can take, whatever the others do.
        free: how many of those are clear of everybody who is on.
        at_most: a number that no choice among the candidates can exceed, counted no further than the number asked for.
        widest: whether it is proven that no choice of so many has a larger worst margin (to within 1 kHz).
        left_out: links of the kind that can take none of the candidates.
        assumed: what was not known and taken for granted, in words.
        out_of_time: the time ended the search.
        interrupted: a keyboard interrupt did.
        beside_spares: they are clear with the written spares of other kinds, too.
    """

    kind: str
    asked: int | None
    spares: tuple[Found, ...]
    candidates: int
    free: int
    at_most: int
    widest: bool
    left_out: tuple[str, ...]
    assumed: tuple[str, ...]
    out_of_time: bool
    interrupted: bool
    beside_spares: bool = False


class Effort(NamedTuple):
    """What a search may take: seconds of the clock, rounds of the raster search, processes; and the seed.

    While the seconds last, the same seed and rounds give the same spares; the processes change the time only.
    """

    seconds: float = 20.0
    rounds: int | None = None
    workers: int = 1
    seed: int = 0


USUAL = Effort()


class _Placed(NamedTuple):
    carriers: tuple[int, ...]
    at_most: int


class SpareSearch:
    """Searches spares of one kind."""

    def __init__(
        self, facts: Facts, kind: Kind, effort: Effort = USUAL,
        progress: Callable[[int, int], None] = lambda _count, _at_most: None,
    ) -> None:  # fmt: skip
        """Keep the plan; `progress` is told how many there are so far and how many there can be.

        `problem` is then the packing that is searched, in Hz.
        """
        self.facts, self.kind, self._effort, self._progress = facts, kind, effort, progress
        self._end = time.monotonic() + effort.seconds
        self._wanted = spare_packing(facts, kind)
        self.problem = self._wanted.problem
        self._air, names = air_with_spares(facts, kind, min(_NAMES, max(1, len(self.problem.allowed))))
        self._fills = Fills(self._air, names, facts.carriers, effort.seed)
        self._best = _Placed((), 0)
        self._free = 0
        self._widest = self._out_of_time = self._interrupted = False

    def run(self, count: int | None) -> Ladder:
        """Return so many spares, or as many as were found (all that fit for None)."""
        try:
            problem = self._open(0)
            self._free = len(problem.allowed)
            self._place(problem, count)
            if self._best.carriers and len(self._best.carriers) == (self._best.at_most if count is None else count):
                self._widen(len(self._best.carriers))
        except KeyboardInterrupt:
            self._interrupted = True
        return self._ladder(count)

    def _open(self, slack_hz: int) -> Packing:
        """Return the packing with every limit larger by a slack, and only the carriers that are free of the live set."""
        problem = self.problem
        free = free_carriers(self._air, self._fills.names[0], problem.allowed, slack_hz, self.facts.carriers)
        return replace(problem.tightened(slack_hz), allowed=tuple(free))

    def _place(self, problem: Packing, number: int | None) -> None:
        """Place so many, or as many as can be found; `at_most` is then what is known of how many there can be."""
        fit = _fit(problem) if number is None else min(number, _fit(problem))
        fine = raster_positions(problem) <= RASTER_MOST
        orders = _ALL_FILLS if not fine else 1 if number is None else _FILLS
        filled = self._fills.longest(problem.allowed, min(fit, _NAMES), 0, orders, self._over)
        self._best = _Placed(filled, fit)
        if not fine or len(filled) == fit:
            return
        steps = min(40_000, _REPACK_WORK // raster_positions(problem))
        again = repacked(problem, fit, steps, self._effort.seed, self._out(_REPACK_SHARE))
        filled = max(filled, again, key=len)
        self._best = _Placed(filled, fit)
        if len(filled) == fit:
            return
        from planlint.assign.raster.pack import Budget, pack

        found = pack(
            problem, target=number, budget=Budget(max(self._end - time.monotonic(), 0.0), self._effort.rounds),
            seed=self._effort.seed, workers=self._effort.workers, progress=self._progress,
        )  # fmt: skip
        self._best = _Placed(max(found.carriers, filled, key=len), min(fit, found.bound))
        self._out_of_time = not found.proven and self._over()
        if found.interrupted:
            raise KeyboardInterrupt

    def _out(self, share: float) -> Callable[[], bool]:
        """Return what says that a share of the time that is left has gone."""
        now = time.monotonic()
        end = now + share * max(self._end - now, 0.0)
        return lambda: time.monotonic() >= end

    def _over(self) -> bool:
        return time.monotonic() >= self._end

    def _widen(self, number: int) -> None:
        """Raise the worst margin of a set of so many."""
        low = min(self._margins(self._best.carriers).values())
        if low >= _NOTHING_NEAR_HZ:
            self._widest = True
            return
        steps = self._steps(low, self._no_room(low, number))
        first, last, proven = -1, len(steps), True
        while last - first > 1:
            if self._over():
                self._out_of_time = True
                return
            middle = (first + last) // 2
            placed = self._try(number, steps[middle])
            if len(placed.carriers) == number:
                self._best = self._best._replace(carriers=placed.carriers)
                first = max(middle, bisect_right(steps, min(self._margins(placed.carriers).values())) - 1)
            else:
                proven = proven and placed.at_most < number
                last = middle
        self._widest = proven

    def _try(self, number: int, slack_hz: int) -> _Placed:
        """Place so many with every limit larger by a slack; fewer of them with `at_most` below it are a proof."""
        from planlint.assign.raster.pack import Budget, pack

        problem = self._open(slack_hz)
        fit = min(number, _fit(problem))
        filled = self._fills.longest(problem.allowed, fit, slack_hz, _FILLS, self._over) if fit == number else ()
        if fit < number or len(filled) == number or raster_positions(problem) > RASTER_MOST:
            return _Placed(filled, fit)
        budget = Budget(max(self._end - time.monotonic(), 0.0), _ROUNDS)
        found = pack(problem, target=number, budget=budget, seed=self._effort.seed)
        if found.interrupted:
            raise KeyboardInterrupt
        return _Placed(found.carriers, found.bound)

    def _no_room(self, low: int, number: int) -> int:
        """Return a slack at which so many do not even fit by spacing among what is free of the live set."""
        by = 50_000
        while _fit(self._open(low + by)) >= number:
            by *= 2
        return low + by

    def _steps(self, low: int, high: int) -> list[int]:
        """Return the margins between two that can occur: multiples of the raster past a limit. Or each kHz."""
        problem = self.problem
        origin, step = raster_of(problem.allowed)
        step = gcd(step, *(one.carrier - origin for one in problem.fixed))
        limits = {problem.spacing, *problem.guards}
        limits |= {limit for one in problem.fixed for limit in (one.spacing, *one.guards)}
        if step < _FINEST_HZ:
            return list(range(low + _FINEST_HZ, high, _FINEST_HZ))
        return sorted({
            margin for limit in limits if limit for margin in range(low + 1 + (-limit - low - 1) % step, high, step)
        })  # fmt: skip

    def _margins(self, carriers_hz: tuple[int, ...]) -> dict[int, int]:
        """Return how far past its limit the nearest thing to each spare is, with all of them on."""
        air, names = air_with_spares(self.facts, self.kind, len(carriers_hz))
        everyone = {**self.facts.carriers, **dict(zip(names, carriers_hz, strict=True))}
        return {everyone[name]: air.margin(name, everyone) for name in names}

    def _ladder(self, count: int | None) -> Ladder:
        margins = self._margins(self._best.carriers)
        if margins and min(margins.values()) < 0:  # the sums that judge are not those that searched
            raise RuntimeError(f"spares that are not clear were found: {sorted(margins)}")
        links: Mapping[int, tuple[str, ...]] = self._wanted.links
        order = sorted(margins, key=lambda hz: (-len(links.get(hz, ())), -margins[hz], hz))
        spares = tuple(
            Found(hz, margins[hz] if margins[hz] < _NOTHING_NEAR_HZ else None, links.get(hz, ())) for hz in order
        )
        return Ladder(
            self.kind, count, spares, len(self.problem.allowed), self._free, self._best.at_most, self._widest,
            self._wanted.left_out, self._wanted.assumed, self._out_of_time, self._interrupted,
        )  # fmt: skip


def raster_positions(problem: Packing) -> int:
    """Return how many positions the raster of a packing has, from the lowest to the highest carrier of all."""
    if not problem.allowed:
        return 0
    _, step = raster_of(problem.allowed)
    everyone = [problem.allowed[0], problem.allowed[-1], *(one.carrier for one in problem.fixed)]
    return (max(everyone) - min(everyone)) // step + 1


def _fit(problem: Packing) -> int:
    """Return how many carriers fit by spacing alone, counted from the lowest up."""
    count, last = 0, -problem.spacing
    for carrier in problem.allowed:
        if carrier - last >= problem.spacing:
            count, last = count + 1, carrier
    return count
