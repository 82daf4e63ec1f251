"""Exact numbers of relations without listing them, in numpy.

Every sum's neighbours within the limit are counted from the sorted sums (two positions, no list), then the
matches that share a carrier are taken off: for each form these are coincidences between two or three carriers
only, and are counted the same way. Time and memory grow with N^2, not with the number of relations.

Source: arithmetic on the equations of `planlint.rf.intermodulation`; the tests compare it with plain
enumeration.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planlint.rf.intermodulation_join import Sums, above_lowest, clamp, indices, sums, windows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planlint.rf.intermodulation import Form
    from planlint.rf.intermodulation_join import Integers, Windows


class Count(NamedTuple):
    """How many relations there are, and how many each carrier takes part in, shape (N,)."""

    total: int
    per_carrier: Integers


class Counts:
    """Counts for one set of carriers, at any limit."""

    def __init__(self, carriers: Sequence[int]) -> None:
        """Take carriers in Hz, at least one, that `planlint.rf.intermodulation_join.fits`."""
        self._values = above_lowest(carriers)
        self._sorted = np.sort(self._values)
        self._sums: dict[tuple[int, ...], Sums] = {}

    def count(self, form: Form, limit: int) -> Count:
        """Count the relations of one form with an offset below the limit in Hz."""
        size = len(self._values)
        if size < len(form.left) + len(form.right) or limit == 0:
            return Count(0, np.zeros(size, dtype=np.int64))
        limit = clamp(limit, self._values)
        left, right = self._sums_of(form.left), self._sums_of(form.right)
        same = form.left == form.right
        found = windows(left.totals, right.totals, limit, symmetric=same)
        moved = form.left[-1] < 0
        matches = np.zeros(len(left.totals), dtype=np.int64)
        matches[found.left] = found.stop - found.first
        if same:
            matches += _covered(found, len(right.totals))
        pairs = left
        if not (same or moved):
            single, matches, pairs = matches, _covered(found, len(right.totals)), right
        at = np.flatnonzero(matches)
        first, second = indices(pairs.codes[at], 2, size)
        clean = matches[at] - self._sharing(form, limit, first, second)
        firsts, seconds = _tally(first, clean, size), _tally(second, clean, size)
        if moved:  # each relation turned up once for each of its three single terms
            return Count(int(clean.sum()) // 3, firsts // 3 + seconds)
        if same:  # and here once from either side
            return Count(int(clean.sum()) // 2, firsts + seconds)
        alone = single[np.argsort(left.codes)] - self._sharing_alone(form, limit)
        return Count(int(clean.sum()), firsts + seconds + alone)

    def _sums_of(self, coefficients: tuple[int, ...]) -> Sums:
        if coefficients not in self._sums:
            self._sums[coefficients] = sums(self._values, coefficients)
        return self._sums[coefficients]

    def _sharing(self, form: Form, limit: int, a: Integers, b: Integers) -> Integers:
        """Matches of each pair (a, b) in which a carrier stands on both sides, to be taken off."""
        own = self._values
        apart: Integers = np.abs(own[a] - own[b])
        one, two, three = ((times * apart < limit).astype(np.int64) for times in (1, 2, 3))
        match form.left, form.right:
            case (2,), (1, 1):  # 2B = B + C, 2C = B + C
                return 2 * one
            case (3,), (2, 1):  # 3B = 2B + C, 3C = 2B + C
                return one + two
            case (1, 1), (1, 1):  # A + B = A + D, A + B = B + D
                near = self._others_near(limit, 1)
                return near[a] + near[b] - 2 * one
            case (2, 1), (2, 1):  # equal first, equal second, and crosswise: 2A - B = D and A + B = 2C
                straight = self._others_near(limit, 1)[b] + self._others_near(limit, 2)[a]
                crosswise = self._near(2 * own[a] - own[b], limit, 1) + self._near(own[a] + own[b], limit, 2)
                return straight + crosswise - 3 * one - 2 * two
            case _:  # 3A - B = A + D, 3A - B = B + D
                with_a = self._near(2 * own[a] - own[b], limit, 1) - one
                with_b = self._near(3 * own[a] - 2 * own[b], limit, 1) - two - three
                return with_a + with_b

    def _sharing_alone(self, form: Form, limit: int) -> Integers:
        """Matches of the single left term of each carrier with sums that hold it."""
        near = self._others_near(limit, 1)
        return near if form.left == (2,) else near + self._others_near(limit, 2)

    def _near(self, totals: Integers, limit: int, times: int) -> Integers:
        """How many carriers, taken `times` times, lie within the limit of each total."""
        carriers = times * self._sorted
        below = np.searchsorted(carriers, totals - limit, side="right")
        return np.searchsorted(carriers, totals + limit) - below

    def _others_near(self, limit: int, times: int) -> Integers:
        return self._near(times * self._values, limit, times) - 1


def _covered(found: Windows, size: int) -> Integers:
    """How many windows cover each right position."""
    steps = np.bincount(found.first, minlength=size + 1) - np.bincount(found.stop, minlength=size + 1)
    return np.cumsum(steps)[:size]


def _tally(carriers: Integers, matches: Integers, size: int) -> Integers:
    # floating weights are exact here: a carrier takes part in fewer than 2^53 relations
    return np.bincount(carriers, weights=matches, minlength=size).astype(np.int64)
