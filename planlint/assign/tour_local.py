"""A good tour, quickly: links are taken out, a few at a time, and put back where they change least.

With everybody else where they are, the best that one link can do over all dates is found exactly, by the dynamic
programme of planlint/assign/tour_touches.py over what the others leave it. Two or three links taken out together and
put back in turn find what one alone cannot. What is no heavier is kept. (Ruin and recreate, G. Schrimpf et al., Journal
of Computational Physics 159 (2000) 139-171; from memory, not verified.)
"""

from __future__ import annotations

import random
from collections.abc import Collection, Mapping
from itertools import pairwise

from planlint.assign.tour_fit import Fitter
from planlint.assign.tour_touches import Sets, fewest_alone, gaps


class Local:
    """One such search; the same seed makes the same choices while the time lasts."""

    def __init__(self, fitter: Fitter, start: Sets, seed: int = 0) -> None:
        """Begin from sets that stand."""
        self._fitter = fitter
        self._rng = random.Random(seed)  # noqa: S311  no secret
        self._dates = {link: fitter.used(link) for link in fitter.links}
        self._weights: dict[str, list[int]] = {link: [] for link in fitter.links}
        for gap in gaps(fitter):
            self._weights[gap.link].append(gap.weight)
        self._paths = {link: tuple(start[at][link] for at in self._dates[link]) for link in fitter.links}

    @property
    def sets(self) -> Sets:
        """The carriers as they are now."""
        return tuple(
            {link: self._paths[link][self._dates[link].index(at)] for link in sorted(night.leads)}
            for at, night in enumerate(self._fitter.nights)
        )

    @property
    def weight(self) -> int:
        """Touches of the carriers as they are now."""
        return sum(self._weigh(link, path) for link, path in self._paths.items())

    def improve(self, bound: int, rounds: int) -> None:
        """Take out and put back until the bound is reached, the rounds are over without any gain, or the time is."""
        best, idle = self.weight, 0
        links = [link for link in self._fitter.links if len(self._dates[link]) > 1]
        while best > bound and idle < rounds and not self._fitter.clock.out():
            some = self._rng.sample(links, min(self._rng.choice((1, 2, 2, 3)), len(links)))
            idle += 1
            kept = dict(self._paths)
            if not self._put_back(some) or self.weight > best:
                self._paths = kept
            elif self.weight < best:
                best, idle = self.weight, 0

    def _weigh(self, link: str, path: tuple[int, ...]) -> int:
        return sum(weight for weight, old, new in zip(self._weights[link], path, path[1:], strict=False) if old != new)

    def _put_back(self, links: list[str]) -> bool:
        away = set(links)
        for link in links:
            away.remove(link)
            path = self._best(link, away)
            if path is None:
                return False
            self._paths[link] = path
        return True

    def _best(self, link: str, away: Collection[str]) -> tuple[int, ...] | None:
        """Return a lightest path of a link beside everybody who is not away, or None."""
        lines = []
        for at in self._dates[link]:
            line = self._left(link, at, away)
            if not line:
                return None
            lines.append(line)
        found = fewest_alone(lines, self._weights[link], self._rng)
        starts = [0, *found.changes, len(lines)]
        path: list[int] = []
        for first, end in pairwise(starts):
            common = frozenset.intersection(*lines[first:end])
            path += [self._rng.choice(sorted(common))] * (end - first)
        return tuple(path)

    def _left(self, link: str, at: int, away: Collection[str]) -> frozenset[int]:
        import numpy as np

        night = self._fitter.nights[at]
        line = np.array(sorted(self._fitter.line(link, at)), dtype=np.int64)
        others: Mapping[str, int] = {
            night.leads[other]: self._paths[other][self._dates[other].index(at)]
            for other in night.leads
            if other != link and other not in away
        }
        blocked = night.state.air.blocked(night.leads[link], line, {**night.staying, **others})
        return frozenset(line[~blocked].tolist())
