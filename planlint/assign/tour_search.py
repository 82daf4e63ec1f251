"""The search for the fewest touches over a tour, everybody together.

First each link changes as if it were alone, which is the bound: if carriers are found that keep still everywhere else,
nothing is lighter. Else changes are chosen that break every run which one link cannot last alone, and an exhaustive
search looks for carriers again. A "none" names changes of which one more is needed, and the lightest choice of changes
is made again. The first that can be placed is a lightest one, and the clauses are the proof. (Implicit hitting sets,
as in planlint/assign/raster/repair.py.) Meanwhile planlint/assign/tour_local.py has an answer for the time that runs out.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from planlint.assign.raster.hitting import Hitting, lightest
from planlint.assign.tour_fit import Fit, Fitter, Stay
from planlint.assign.tour_local import Local
from planlint.assign.tour_touches import Change, Sets, Touches, fewest_alone, gaps

Progress = Callable[[str], None]
#: Carriers tried to find out which changes are needed; where that is not enough they all count as possible ones.
_EXPLAIN_NODES = 300
#: Choices of changes as light as each link alone needs, tried before clauses are looked for.
_GUESSES = 12
#: Rounds of the local search without any gain, for each link.
_IDLE = 12


def fewest(fitter: Fitter, known: Sequence[Sets] = (), seed: int = 0, progress: Progress = lambda _: None) -> Touches:
    """Return the fewest touches over the fitter's dates; a set must exist for each of them alone.

    Args:
        fitter: the dates.
        known: sets for all dates that stand, to be bettered.
        seed: of the choices of the local search.
        progress: told what is going on.
    """
    return _Search(fitter, known, seed, progress).run()


def lightest_by_parts(clauses: Sequence[int], weights: Sequence[int]) -> Hitting | None:
    """Return a lightest set that hits every clause, parts that share no member one by one; None where it cannot be."""
    parts: list[tuple[int, list[int]]] = []
    for clause in clauses:
        near = [part for part in parts if part[0] & clause]
        parts = [part for part in parts if not part[0] & clause]
        members, inside = clause, [clause]
        for more, others in near:
            members |= more
            inside += others
        parts.append((members, inside))
    found = [lightest(inside, weights) for _, inside in parts]
    whole = Hitting(0, 0, 0)
    for one in found:
        if one is None:
            return None
        whole = Hitting(whole.members | one.members, whole.weight + one.weight, whole.bound + one.bound)
    return whole


class _Search:
    def __init__(self, fitter: Fitter, known: Sequence[Sets], seed: int, progress: Progress) -> None:
        self.fitter = fitter
        self.seed = seed
        self.progress = progress
        self.gaps = gaps(fitter)
        self.weights = [gap.weight for gap in self.gaps]
        self.all = (1 << len(self.gaps)) - 1
        self.clauses = list(self._too_long())
        self.each_alone = self._each_alone(None)
        self.alone = sum(weight for at, weight in enumerate(self.weights) if self.each_alone >> at & 1)
        self.bound = self.alone
        self.sure = True
        self.best: Sets | None = None
        for sets in known:
            self._keep(sets)

    def run(self) -> Touches:
        interrupted = False
        try:
            self._exact()
            if self.best is not None:
                self._widen(self.best)
        except KeyboardInterrupt:
            interrupted = True
        changes = tuple(self._changes(self.best)) if self.best is not None else ()
        found = None if self.best is None else sum(change.weight for change in changes)
        if found is not None and found < self.bound:
            raise RuntimeError(f"{found} touches were found where {self.bound} were called the fewest")
        stopped = (interrupted or self.fitter.clock.ran_out) and found != self.bound
        margin = self._margin(self.best) if self.best is not None else None
        return Touches(found, self.bound, self.alone, changes, self.best or (), margin, stopped, interrupted)

    def _each_alone(self, rng: random.Random | None) -> int:
        """Return, as bits, the lightest changes link by link; with `rng` others as light."""
        cuts = 0
        for link in dict.fromkeys(gap.link for gap in self.gaps):
            mine = [at for at, gap in enumerate(self.gaps) if gap.link == link]
            lines = [self.fitter.line(link, at) for at in self.fitter.used(link)]
            path = fewest_alone(lines, [self.weights[at] for at in mine], rng)
            cuts |= sum(1 << mine[change - 1] for change in path.changes)
        return cuts

    def _too_long(self) -> Iterator[int]:
        """Yield the gaps within each shortest run that a link cannot last: one of them must be a change."""
        for link in dict.fromkeys(gap.link for gap in self.gaps):
            dates = self.fitter.used(link)
            for first in range(len(dates)):
                for last in range(first + 1, len(dates)):
                    if not self.fitter.choices(Stay(link, dates[first], dates[last])):
                        yield self._within(dates[first], dates[last], link)
                        break

    def _within(self, first: int, last: int, link: str | None = None) -> int:
        """Return, as bits, the gaps that lie within some dates."""
        return sum(
            1 << at
            for at, gap in enumerate(self.gaps)
            if first <= gap.before and gap.after <= last and (link is None or gap.link == link)
        )

    def _stays(self, cuts: int, first: int = 0, last: int | None = None) -> list[Stay]:
        """Return who stays from when until when, with changes at some gaps, within some dates."""
        last = len(self.fitter.nights) - 1 if last is None else last
        cut = {(gap.link, gap.after) for at, gap in enumerate(self.gaps) if cuts >> at & 1}
        found = []
        for link in sorted({link for night in self.fitter.nights[first : last + 1] for link in night.leads}):
            dates = [at for at in self.fitter.used(link) if first <= at <= last]
            starts = [dates[0], *(at for at in dates[1:] if (link, at) in cut), last + 1]
            found += [Stay(link, start, max(at for at in dates if at < end)) for start, end in pairwise(starts)]
        return found

    def _exact(self) -> None:
        stays = self._stays(self.each_alone)
        few = 10 * len(stays)
        if self._placed(self.fitter.fit(stays, nodes=few, tries=0)):
            return
        self._local()
        for attempt in range(1, _GUESSES):
            if self.best is not None and self._cost() <= self.bound:
                return
            cuts = self._each_alone(random.Random(attempt))  # noqa: S311  no secret
            if self._placed(self.fitter.fit(self._stays(cuts), nodes=few, tries=0)):
                return
        self._by_clauses()

    def _placed(self, fit: Fit) -> bool:
        if fit.outcome == "found":
            self._keep(self._sets(fit))
        return fit.outcome == "found"

    def _local(self) -> None:
        if self.best is None:
            return
        local = Local(self.fitter, self.best, self.seed)
        local.improve(self.bound, _IDLE * len(self.fitter.links))
        self._keep(local.sets)
        self.progress(f"tour: {self._cost()} touches found, at least {self.bound}")

    def _by_clauses(self) -> None:
        while not self.fitter.clock.out():
            found = lightest_by_parts(self.clauses, self.weights)
            if found is None:
                return
            if self.sure:
                self.bound = max(self.bound, found.bound)
            if self.best is not None and self._cost() <= found.weight:
                return
            self.progress(f"tour: at least {self.bound} touches; trying {found.weight}")
            fit = self.fitter.fit(self._stays(found.members))
            if self._placed(fit):
                return
            if fit.outcome == "none":
                self.clauses += self._needed(found.members)
            else:
                self.sure = False
                self.clauses.append(self.all & ~found.members)

    def _cost(self) -> int:
        return sum(change.weight for change in self._changes(self.best)) if self.best is not None else 0

    def _changes(self, carriers: Sets) -> Iterator[Change]:
        for gap in sorted(self.gaps, key=lambda gap: (gap.after, gap.link)):
            old, new = carriers[gap.before][gap.link], carriers[gap.after][gap.link]
            if old != new:
                yield Change(gap.link, gap.before, gap.after, old, new, gap.weight)

    def _sets(self, fit: Fit) -> Sets:
        return tuple(
            {
                stay.link: carrier
                for stay, carrier in fit.carriers.items()
                if stay.first <= at <= stay.last and stay.link in night.leads
            }
            for at, night in enumerate(self.fitter.nights)
        )

    def _keep(self, sets: Sets, *, equal: bool = False) -> None:
        if self.best is None or sum(change.weight for change in self._changes(sets)) < self._cost() + equal:
            self.best = sets

    def _widen(self, best: Sets) -> None:
        """Choose other carriers for the same changes, with a larger worst margin."""
        found, _ = self.fitter.widened(Fit("found", self._as_stays(best)))
        self._keep(self._sets(found), equal=True)

    def _as_stays(self, sets: Sets) -> dict[Stay, int]:
        changed = ((at, sets[gap.before][gap.link] != sets[gap.after][gap.link]) for at, gap in enumerate(self.gaps))
        cuts = sum(1 << at for at, differs in changed if differs)
        return {stay: sets[stay.first][stay.link] for stay in self._stays(cuts)}

    def _margin(self, sets: Sets) -> int | None:
        margin = self.fitter.margin(self._as_stays(sets))
        return margin if margin < 10**11 else None

    def _needed(self, cuts: int) -> list[int]:
        """Return clauses: gaps of which one more must be a change, in the shortest stretches of dates that do not fit."""
        count = len(self.fitter.nights)
        for length in range(2, count):
            starts = [first for first in range(count - length + 1) if self._none(cuts, first, first + length - 1)]
            found = [self._fewer(cuts, first, first + length - 1) for first in starts]
            if found:
                return found
        return [self._fewer(cuts, 0, count - 1)]

    def _none(self, cuts: int, first: int, last: int) -> bool:
        stays = self._stays(cuts, first, last)
        return self.fitter.fit(stays, nodes=_EXPLAIN_NODES, tries=0).outcome == "none"

    def _fewer(self, cuts: int, first: int, last: int) -> int:
        """Return gaps without a change, as few as are found, that leave no carriers at some dates."""
        kept = [at for at in range(len(self.gaps)) if self._within(first, last) & ~cuts & 1 << at]
        size = len(kept)
        while size:
            size = (size + 1) // 2
            at = 0
            while at < len(kept):
                fewer = kept[:at] + kept[at + size :]
                if self._none(self.all & ~sum(1 << one for one in fewer), first, last):
                    kept = fewer
                else:
                    at += size
            size = 0 if size == 1 else min(size, len(kept))
        return sum(1 << one for one in kept)
