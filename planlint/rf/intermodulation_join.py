"""The sorted join of carrier sums for large sets, in numpy.

Same relations in the same order as the plain join of `planlint.rf.intermodulation`. A sum and the indices of
its carriers are packed into one 64-bit key, so that one sort of plain integers orders both and the indices
come back without a lookup. Both sides of a form weigh the same, so carriers may count from the lowest one; a
set that still does not fit is left to the plain join. Memory is a few arrays of N^2 keys plus one block of
candidates.
"""

from __future__ import annotations

from itertools import repeat
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planlint.rf.intermodulation import FORMS, Form, Limits, Relation

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    Integers = NDArray[np.int64]

BLOCK = 1 << 17
"""Candidates looked at together: enough to hide numpy's overhead, few enough to stay in the cache."""


class Sums(NamedTuple):
    """Sorted sums of carriers.

    Attributes:
        totals: The sums in Hz above the lowest carrier, ascending, shape (M,).
        codes: The carriers in each, shape (M,): i for one carrier, i * N + j for two.
    """

    totals: Integers
    codes: Integers


class Windows(NamedTuple):
    """For the left sum at position `left`, right sums `first` to `stop` (exclusive) are within the limit."""

    left: Integers
    first: Integers
    stop: Integers


def fits(carriers: Sequence[int]) -> bool:
    """Tell whether every key of this set fits 64 bits with room for a limit."""
    if not carriers:
        return True
    return 8 * (max(carriers) - min(carriers)) < 1 << (62 - _code_bits(len(carriers)))


def relations(carriers: Sequence[int], limits: Limits) -> Iterator[Relation]:
    """Stream every relation among carriers in Hz that `fits`; see `planlint.rf.intermodulation.relations`."""
    if len(carriers) < 3:  # no relation has fewer
        return
    values = above_lowest(carriers)
    for form in FORMS:
        limit = clamp(getattr(limits, form.kind), values)
        if limit:
            yield from _relations(form, values, limit)


def above_lowest(carriers: Sequence[int]) -> Integers:
    """Carriers in Hz, at least one, counted from the lowest of them, shape (N,)."""
    lowest = min(carriers)
    return np.array([carrier - lowest for carrier in carriers], dtype=np.int64)


def clamp(limit: int, values: Integers) -> int:
    """A limit no larger than needed to let everything through, so that it cannot overflow."""
    return min(limit, 3 * int(values.max()) + 1)


def sums(values: Integers, coefficients: tuple[int, ...]) -> Sums:
    """Every sum of different carriers with one or two coefficients, sorted by total, then by indices."""
    count = len(values)
    bits = _code_bits(count)
    own = values << bits
    order = np.arange(count, dtype=np.int64)
    if len(coefficients) == 1:
        keys = coefficients[0] * own + order
    else:
        first, second = coefficients[0] * own + order * count, coefficients[1] * own + order
        if coefficients[0] == coefficients[1]:
            keys = np.concatenate([first[i] + second[i + 1 :] for i in range(count)])
        else:
            # dropping the first of the N^2 leaves the rest of the diagonal at the end of rows one longer
            keys = np.add.outer(first, second).ravel()[1:].reshape(count - 1, count + 1)[:, :-1].ravel()
    keys.sort()
    return Sums(keys >> bits, keys & ((1 << bits) - 1))


def indices(codes: Integers, terms: int, count: int) -> tuple[Integers, ...]:
    """Unpack the carrier indices of sums of one or two terms among `count` carriers, one array a term."""
    return (codes,) if terms == 1 else np.divmod(codes, count)


def windows(left: Integers, right: Integers, limit: int, *, symmetric: bool) -> Windows:
    """Find for each left total the right totals nearer than the limit; a symmetric join looks only ahead."""
    if symmetric:
        at = np.flatnonzero(right[1:] - right[:-1] < limit)
        return Windows(at, at + 1, np.searchsorted(right, right[at] + limit))
    first = np.searchsorted(right, left - limit, side="right")
    stop = np.searchsorted(right, left + limit)
    at = np.flatnonzero(stop > first)
    return Windows(at, first[at], stop[at])


def _code_bits(count: int) -> int:
    return (count * count).bit_length()


def _relations(form: Form, values: Integers, limit: int) -> Iterator[Relation]:
    count = len(values)
    left = sums(values, form.left)
    same = form.left == form.right
    right = left if same else sums(values, form.right)
    shared = {coefficient: [(coefficient, index) for index in range(count)] for coefficient in (1, 2, 3)}
    found = windows(left.totals, right.totals, limit, symmetric=same)
    for these, those in _candidates(found):
        here = indices(left.codes[these], len(form.left), count)
        there = indices(right.codes[those], len(form.right), count)
        keep = _apart(form, here, there)
        offsets = np.abs(left.totals[these] - right.totals[those])[keep]
        terms = [
            *zip(form.left, here, strict=True),
            *((-one, column) for one, column in zip(form.right, there, strict=True)),
        ]
        columns = [(one, map(shared[abs(one)].__getitem__, column[keep].tolist())) for one, column in terms]
        lefts = zip(*(column for one, column in columns if one > 0), strict=True)
        rights = zip(*(column for one, column in columns if one < 0), strict=True)
        yield from map(Relation, repeat(form.kind), lefts, rights, offsets.tolist())


def _apart(form: Form, here: tuple[Integers, ...], there: tuple[Integers, ...]) -> NDArray[np.bool_]:
    """Matches that share no carrier and, where a term was moved over, have the lowest of its like there."""
    keep = np.ones(len(here[0]), dtype=np.bool_)
    for mine in here:
        for other in there:
            keep &= mine != other
    if form.left[-1] < 0:
        keep &= here[-1] < there[0]
    return keep


def _candidates(found: Windows) -> Iterator[tuple[Integers, Integers]]:
    """Pairs of positions (left, right), a block of windows at a time."""
    counts = found.stop - found.first
    ends = np.cumsum(counts)
    begin = 0
    while begin < len(counts):
        done = ends[begin - 1] if begin else 0
        end = max(begin + 1, int(np.searchsorted(ends, done + BLOCK, side="right")))
        these = counts[begin:end]
        number = int(ends[end - 1] - done)
        shift = found.first[begin:end] - (ends[begin:end] - these - done)
        yield np.repeat(found.left[begin:end], these), np.arange(number) + np.repeat(shift, these)
        begin = end
