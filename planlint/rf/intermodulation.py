"""Intermodulation: which carriers' sums coincide.

Model: a product of odd order lands on (or within a limit of) a carrier exactly when two sums of carriers
nearly coincide. With every term on the side where its sign is plus, each family of products is one equation
between sums of two or three terms, and one equation covers every product that follows from it::

    two_signal_third     2A     = B + C        2A - B on C, and B + C - A on A
    three_signal_third   A + B  = C + D        A + B - C on D, and its three companions
    two_signal_fifth     3A     = 2B + C       3A - 2B on C
    three_signal_fifth   2A + B = 2C + D       2A + B - 2C on D, and its companions
    three_signal_fifth   3A     = B + C + D    3A - B - C on D, and its companions

The letters are different carriers of the set, whatever their frequencies. Every carrier of a relation is a
victim of it: one of its products falls there.

Source: W. C. Babcock, "Intermodulation Interference in Radio Systems", Bell System Technical Journal 32
(1953) 63-73 (abstract read; pages from memory, not verified). Order, the sum of the absolute coefficients:
IEC Electropedia, entry on the order of an intermodulation product (read in a public copy). Third order clear
is all pair sums distinct (Golomb ruler, Sidon set): K. O'Bryant, arXiv 2308.12406 (read in a public copy).

Method: sums are sorted once and joined by a sliding window, O(N^2 log N + relations); products are never
listed. All arithmetic is exact in integers of any size. Large sets are joined by numpy, loaded only then, in
the same order.
"""

from __future__ import annotations

import operator
from itertools import combinations, permutations
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

PURE_UP_TO = 128
"""Largest set joined in plain Python: beyond it loading numpy costs less than it saves (measured)."""

_Sum = tuple[int, tuple[int, ...]]  # total in Hz, indices of the carriers in it


class Limits(NamedTuple):
    """How near, in Hz, a coincidence must come to count: |left - right| < limit. 0 switches the kind off."""

    two_signal_third: int
    three_signal_third: int
    two_signal_fifth: int
    three_signal_fifth: int


class Relation(NamedTuple):
    """One near-coincidence of two sums of carriers.

    Attributes:
        kind: The name of the limit it was judged by.
        left: (coefficient, carrier index) of each term of one side; all coefficients positive.
        right: The same for the other side. Which side is "left" has no meaning for equations of equal sides.
        offset_hz: |left - right|, not negative.
    """

    kind: str
    left: tuple[tuple[int, int], ...]
    right: tuple[tuple[int, int], ...]
    offset_hz: int


class Form(NamedTuple):
    """One equation, as coefficients of its two sides.

    A negative coefficient marks a term of the other side, moved over so that neither side has more than two
    terms. The equation then turns up once for each of its like terms on the right; only the one whose moved
    term has the lowest index is kept.
    """

    kind: str
    left: tuple[int, ...]
    right: tuple[int, ...]


FORMS = (
    Form("two_signal_third", (2,), (1, 1)),
    Form("three_signal_third", (1, 1), (1, 1)),
    Form("two_signal_fifth", (3,), (2, 1)),
    Form("three_signal_fifth", (2, 1), (2, 1)),
    Form("three_signal_fifth", (3, -1), (1, 1)),
)


def relations(carriers_hz: Sequence[int], limits: Limits) -> Iterator[Relation]:
    """Find every relation among the carriers, each once.

    Args:
        carriers_hz: Carriers in Hz, any number in any order. Two indices are two carriers, equal or not.
        limits: Strict upper limits of the offset in Hz; 0 switches a kind off.

    Returns:
        A stream in a fixed order: by form, then by value and indices of the left sum, then of the right.

    Raises:
        TypeError: A carrier is not an integer.
        ValueError: A limit is negative.
    """
    carriers = checked(carriers_hz, limits)
    if len(carriers) <= PURE_UP_TO:
        return _plain(carriers, limits)
    from planlint.rf import intermodulation_join as join

    return join.relations(carriers, limits) if join.fits(carriers) else _plain(carriers, limits)


def relations_within(carriers_hz: Sequence[int], limits: Limits, sets: Sequence[Collection[int]]) -> Iterator[Relation]:
    """Find every relation whose carriers are all in one of the sets, each once.

    Args:
        carriers_hz: Carriers in Hz.
        limits: As in `relations`.
        sets: Indices of the carriers that are on the air together, one set for each interval.

    Returns:
        A stream, set by set, in the order of `relations` within each. Indices are those of `carriers_hz`.

    Raises:
        TypeError, ValueError: As in `relations`.
        IndexError: A set names a carrier that is not there.
    """
    seen: list[frozenset[int]] = []
    for together in map(frozenset, sets):
        if together and not 0 <= min(together) <= max(together) < len(carriers_hz):
            raise IndexError(f"there are {len(carriers_hz)} carriers, and a set names {sorted(together)}")
        if not any(together <= earlier for earlier in seen):
            yield from _of_members(carriers_hz, limits, together, seen)
            seen.append(together)


def _of_members(
    carriers_hz: Sequence[int], limits: Limits, together: frozenset[int], seen: Sequence[frozenset[int]]
) -> Iterator[Relation]:
    """Relations of one set that no earlier set holds, with the indices of all carriers."""
    members = sorted(together)
    stream = relations([carriers_hz[member] for member in members], limits)
    if len(members) == len(carriers_hz) and not seen:
        yield from stream
    for found in stream:
        left = tuple((coefficient, members[at]) for coefficient, at in found.left)
        right = tuple((coefficient, members[at]) for coefficient, at in found.right)
        who = {index for _, index in left + right}
        if not any(who <= earlier for earlier in seen):
            yield Relation(found.kind, left, right, found.offset_hz)


def checked(carriers_hz: Sequence[int], limits: Limits) -> list[int]:
    """Return the carriers as plain integers in Hz; raise TypeError or ValueError as `relations` does."""
    if min(limits) < 0:
        raise ValueError(f"a limit in Hz cannot be negative: {limits}")
    return [operator.index(carrier) for carrier in carriers_hz]


def _relation(form: Form, left: Sequence[int], right: Sequence[int], offset_hz: int) -> Relation:
    """Name the terms of one match of a form; a moved term goes back to the side where its sign is plus."""
    terms = list(zip(form.left, left, strict=True))
    moved = [(-coefficient, index) for coefficient, index in terms if coefficient < 0]
    stay = [term for term in terms if term[0] > 0]
    return Relation(form.kind, tuple(stay), (*moved, *zip(form.right, right, strict=True)), offset_hz)


def _plain(carriers: Sequence[int], limits: Limits) -> Iterator[Relation]:
    """Join in plain Python."""
    for form in FORMS:
        limit = getattr(limits, form.kind)
        if limit:
            left = _sums(carriers, form.left)
            same = form.left == form.right
            right = left if same else _sums(carriers, form.right)
            yield from _join(form, left, right, limit, symmetric=same)


def _sums(carriers: Sequence[int], coefficients: tuple[int, ...]) -> list[_Sum]:
    """Every sum of different carriers with these coefficients, sorted; like terms once, in index order."""
    if len(coefficients) == 1:
        return sorted((coefficients[0] * carrier, (i,)) for i, carrier in enumerate(carriers))
    first, second = coefficients
    choose = combinations if first == second else permutations
    pairs = choose(range(len(carriers)), 2)
    return sorted((first * carriers[i] + second * carriers[j], (i, j)) for i, j in pairs)


def _join(form: Form, left: list[_Sum], right: list[_Sum], limit: int, *, symmetric: bool) -> Iterator[Relation]:
    """Slide a window of the right sums along the left ones; a symmetric form looks only ahead of itself."""
    moved = form.left[-1] < 0
    start, count = 0, len(right)
    for position, (total, these) in enumerate(left):
        if symmetric:
            start = position + 1
        while start < count and right[start][0] <= total - limit:
            start += 1
        stop = total + limit
        for at in range(start, count):
            other, those = right[at]
            if other >= stop:
                break
            if these[0] in those or these[-1] in those or (moved and these[-1] > those[0]):
                continue
            yield _relation(form, these, those, abs(total - other))
