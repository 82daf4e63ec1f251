"""Which candidate carriers of a link clash with carriers already placed: exact, for thousands at a time.

For every place that the link can take in a relation, the others' carriers give one centre v, and the candidates x
with |k x - v| < limit are out: one interval each, found in the sorted candidates by bisection and marked in a
difference array. With x on one side of the contract's equations::

    two_signal_third     2x = a + b        x = 2a - b
    three_signal_third   x  = a + b - c
    two_signal_fifth     3x = 2a + b       2x = 3a - b         x = 3a - 2b
    three_signal_fifth   2x = 2a + b - c   x  = 2a + b - 2c    3x = a + b + c    x = 3a - b - c

Distinct letters are distinct ids, whatever their carriers. Source: W. C. Babcock, Bell System Technical Journal 32
(1953), from memory, not verified; the equations are the ones of planlint/rf/intermodulation.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING, Any, NamedTuple

from planlint.facts import limits, relations, spacing
from planlint.plan.model import Plan
from planlint.plan.quantity import khz

if TYPE_CHECKING:
    import numpy as np

    from planlint.facts import Facts

    Carriers = np.ndarray[Any, np.dtype[np.int64]]
    Flags = np.ndarray[Any, np.dtype[np.bool_]]

#: (policy key, k, coefficients of the others): k x = sum of coefficient * carrier.
PLACES: tuple[tuple[str, int, tuple[int, ...]], ...] = (
    ("two_signal_third", 2, (1, 1)),
    ("two_signal_third", 1, (2, -1)),
    ("three_signal_third", 1, (1, 1, -1)),
    ("two_signal_fifth", 3, (2, 1)),
    ("two_signal_fifth", 2, (3, -1)),
    ("two_signal_fifth", 1, (3, -2)),
    ("three_signal_fifth", 2, (2, 1, -1)),
    ("three_signal_fifth", 1, (2, 1, -2)),
    ("three_signal_fifth", 3, (1, 1, 1)),
    ("three_signal_fifth", 1, (3, -1, -1)),
)
SAME, NEAR, EARS_MICS, OTHERS = (
    "same-carrier-twice",
    "spacing-too-close",
    "ears-near-mics-band",
    "others-on-air-collision",
)


class Clash(NamedTuple):
    """Two carriers too near or a relation too near: its rule, its ids sorted, what is met and the limit in Hz."""

    rule: str
    ids: tuple[str, ...]
    offset_hz: int
    limit_hz: int
    text: str


class Air:
    """Who is on with whom, and every limit between them; carriers are given at each call.

    A link that has no carrier yet is known here too. Spares are no part of it.
    """

    def __init__(self, facts: Facts) -> None:
        self.plan: Plan = facts.plan
        self.widths: Mapping[str, int] = facts.widths
        self.sets = facts.together
        self._limits: dict[tuple[str, int], int] = {}
        self._pairs: dict[tuple[str, str], int] = {}
        self._companies: dict[tuple[str, frozenset[str]], tuple[list[str], list[list[str]]]] = {}
        self._kinds = tuple(kind for kind in relations.KINDS if self.limit(kind, max(self.widths.values(), default=1)))

    def limit(self, kind: str, widest_hz: int) -> int:
        """Return the limit in Hz of a kind of relation whose widest emission is this; 0: switched off."""
        key = (kind, widest_hz)
        if key not in self._limits:
            self._limits[key] = limits.hertz(self.plan, f"intermod_khz.{kind}", widest_hz).hz
        return self._limits[key]

    def apart(self, first: str, second: str) -> int:
        """Return how far in Hz two ids must be apart while both are on: at least 1, for equal carriers clash."""
        key = (first, second) if first < second else (second, first)
        if key not in self._pairs:
            self._pairs[key] = max(1, *(limit for _, limit in self._rules(*key)))
        return self._pairs[key]

    def near(self, first: str, second: str) -> int:
        """Return the house's spacing of two ids in Hz, whatever else keeps them apart."""
        return next(limit for _, limit in self._rules(first, second))

    def _rules(self, first: str, second: str) -> Iterator[tuple[str, int]]:
        widths = (self.widths[first], self.widths[second])
        ours = [self.plan.links[name] for name in (first, second) if name in self.plan.links]
        if len(ours) < 2:
            yield OTHERS, sum(widths) // 2
            return
        kinds = (ours[0].kind, ours[1].kind)
        alike = (spacing.like(ours[0]), spacing.like(ours[1]))
        yield NEAR, spacing.limit_hz(self.plan, alike, widths)
        if set(kinds) == {"ear", "mic"}:
            yield EARS_MICS, limits.hertz(self.plan, "spacing_khz.ear_to_mic", 0).hz

    def blocked(
        self, name: str, candidates: Carriers, placed: Mapping[str, int], *, slack_hz: int = 0, new: str | None = None
    ) -> Flags:
        """Return which candidates of a link clash.

        Args:
            name: the link.
            candidates: carriers in Hz, sorted.
            placed: carriers in Hz of other ids; the link itself and ids that are never on with it are passed over.
            slack_hz: added to every limit that is not switched off.
            new: count only clashes that this placed id takes part in.
        """
        import numpy as np

        marks = np.zeros(len(candidates) + 1, dtype=np.int64)
        for centre, limit, times in self._intervals(name, placed, new):
            line = candidates * times
            low = np.searchsorted(line, centre - (limit + slack_hz), side="right")
            high = np.searchsorted(line, centre + (limit + slack_hz), side="left")
            some = low < high
            marks += np.bincount(low[some], minlength=len(marks))
            marks -= np.bincount(high[some], minlength=len(marks))
        return np.asarray(np.cumsum(marks)[:-1] > 0)

    def margin(self, name: str, placed: Mapping[str, int]) -> int:
        """Return the least distance in Hz past its limit of anything that a placed link takes part in.

        Negative where something clashes. With nothing beside it there is no limit near: a great number.
        """
        import numpy as np

        own = placed[name]
        least = 10**12
        for centre, limit, times in self._intervals(name, placed, None):
            if len(centre):
                least = min(least, int(np.min(np.abs(centre - own * times) - limit)))
        return least

    def _intervals(
        self, name: str, placed: Mapping[str, int], new: str | None
    ) -> Iterator[tuple[Carriers, Carriers, int]]:
        """Yield centres and limits in Hz, and k: k * candidate must not be nearer to a centre than its limit."""
        import numpy as np

        beside, sets = self._company(name, frozenset(placed))
        near = [other for other in beside if new is None or other == new]
        if near:
            yield (
                np.array([placed[other] for other in near], dtype=np.int64),
                np.array([self.apart(name, other) for other in near], dtype=np.int64),
                1,
            )
        for ids in sets:
            if new is not None and new not in ids:
                continue
            carriers = np.array([placed[other] for other in ids], dtype=np.int64)
            known = sorted({self.widths[other] for other in (name, *ids)})
            sizes = np.array([known.index(self.widths[other]) for other in ids], dtype=np.int64)
            own = known.index(self.widths[name])
            limit = np.array([[self.limit(kind, width) for width in known] for kind in self._kinds], dtype=np.int64)
            at = ids.index(new) if new is not None else None
            for times, spots, factors, kinds in _table(len(ids), at, self._kinds):
                widest = np.maximum(own, sizes[spots].max(axis=0))
                yield (carriers[spots] * factors).sum(axis=0), limit[kinds, widest], times

    def _company(self, name: str, placed: frozenset[str]) -> tuple[list[str], list[list[str]]]:
        """Return the placed ids that are ever on with a link, and the different largest sets of them, without it."""
        key = (name, placed)
        if key not in self._companies:
            found = {(ids & placed) - {name} for ids in self.sets if name in ids}
            sets = [sorted(ids) for ids in found if len(ids) > 1 and not any(ids < larger for larger in found)]
            self._companies[key] = (sorted(frozenset().union(*found)), sorted(sets))
        return self._companies[key]

    def clashes(self, carriers: Mapping[str, int]) -> list[Clash]:
        """Return every clash among some carriers in Hz that a link of ours takes part in, in a fixed order."""
        found: dict[tuple[str, ...], Clash] = {}
        for ids in self.sets:
            for first, second in combinations(sorted(ids & carriers.keys()), 2):
                if first in self.plan.links or second in self.plan.links:
                    for clash in self._near(first, second, carriers):
                        found[clash.rule, *clash.ids] = clash
        near = sorted(found.values(), key=lambda clash: (clash.offset_hz, clash.ids, clash.rule))
        for named in relations.find(self.plan, carriers, self.widths, self.sets):
            if any(name in self.plan.links for name in named.ids):
                rule = f"intermod-{named.kind.replace('_', '-')}"
                near.append(Clash(rule, named.ids, named.offset_hz, named.limit_hz, named.text))
        return near

    def _near(self, first: str, second: str, carriers: Mapping[str, int]) -> Iterator[Clash]:
        gap = abs(carriers[first] - carriers[second])
        both = first in self.plan.links and second in self.plan.links
        if gap == 0 and both:
            yield Clash(SAME, (first, second), 0, 1, f"{first} and {second} on one carrier")
            return
        for rule, limit in self._rules(first, second):
            if gap < limit:
                yield Clash(rule, (first, second), gap, limit, f"{first} and {second} are {khz(gap)} kHz apart")


@lru_cache(maxsize=512)
def _table(count: int, at: int | None, kinds: tuple[str, ...]) -> tuple[tuple[int, Carriers, Carriers, Carriers], ...]:
    """Return, for each k, the terms of all places among `count` ids: (3, rows) indices and factors, and kinds.

    With `at`, only those in which the id at that index takes part. Places of two terms have a third of factor 0.
    """
    import numpy as np

    found = []
    for times in (1, 2, 3):
        parts = []
        for kind, k, factors in PLACES:
            if k != times or kind not in kinds or count < len(factors):
                continue
            for spots in _spots(count, factors, at):
                rows = spots.shape[1]
                padded = np.vstack([spots, *[spots[:1]] * (3 - len(factors))])
                numbers = np.array([*factors, *[0] * (3 - len(factors))], dtype=np.int64)
                parts.append((padded, np.repeat(numbers[:, None], rows, axis=1), np.full(rows, kinds.index(kind))))
        if parts:
            spots, numbers, which = (np.concatenate(part, axis=-1) for part in zip(*parts, strict=True))
            found.append((times, spots, numbers, which))
    return tuple(found)


def _spots(count: int, factors: Sequence[int], at: int | None) -> Iterator[Carriers]:
    """Yield (terms, rows) indices for a place: all choices of distinct ids, or those with the id at `at`."""
    import numpy as np

    if at is None:
        yield _distinct(np.indices((count,) * len(factors)).reshape(len(factors), -1), factors)
        return
    for role in range(len(factors)):
        if role and factors[role] == factors[role - 1]:
            continue  # like terms: the other one gives the same sums
        grids = np.indices((count,) * (len(factors) - 1)).reshape(len(factors) - 1, -1)
        yield _distinct(np.insert(grids, role, at, axis=0), factors, fixed=role)


def _distinct(grids: Carriers, factors: Sequence[int], fixed: int | None = None) -> Carriers:
    import numpy as np

    keep = np.ones(grids.shape[1], dtype=bool)
    for first, second in combinations(range(len(factors)), 2):
        keep &= grids[first] != grids[second]
        if factors[first] == factors[second] and fixed not in {first, second}:
            keep &= grids[first] < grids[second]
    return np.asarray(grids[:, keep])
