"""Sets of integers whose pair sums are all different, from algebra: as dense as such sets are known to be.

In such a set (Sidon set, Golomb ruler) no third-order product falls on a carrier. All but the first are sets of
residues: the sums are different modulo the modulus, so any multiple by a unit and any shift will do, and a residue
may stand for any integer that leaves it.

Sources: P. Erdos and P. Turan (1941), J. Singer (1938), R. C. Bose (1942), I. Ruzsa, Acta Arith. 65 (1993);
collected in K. O'Bryant, arXiv 2308.12406 (read in a public copy). The tests check the property, not a list.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from math import gcd
from typing import NamedTuple

from planlint.assign.raster.finite_field import powers, prime_power


class Residues(NamedTuple):
    """A set of residues modulo `modulus` with different pair sums."""

    name: str
    order: int
    modulus: int
    members: tuple[int, ...]


def erdos_turan(p: int) -> tuple[int, ...]:
    """Return p integers below 2 p^2 with different pair sums, p an odd prime."""
    return tuple(2 * p * k + k * k % p for k in range(p))


@cache
def singer(q: int) -> Residues:
    """Return the q + 1 residues modulo q^2 + q + 1 at which the powers of an element lie in a plane of GF(q^3)."""
    modulus = q * q + q + 1
    row = next(row for row in powers(q, 3) if len(row) == modulus)
    return Residues("Singer", q, modulus, (0, *(at + 1 for at, (_, _, top) in enumerate(row[:-1]) if top == 0)))


@cache
def bose(q: int) -> Residues:
    """Return the q residues i modulo q^2 - 1 with t^i - t in GF(q), t primitive in GF(q^2)."""
    for row in powers(q, 2):
        if len(row) != q + 1:
            continue
        # t^(q+1) is in GF(q): t is primitive if that power runs through all of it
        members, factor, count = [], 1, 0
        while True:
            members += [
                at + 1 + count * (q + 1) for at, (_, top) in enumerate(row[:-1]) if _product(q, factor, top) == 1
            ]
            factor, count = _product(q, factor, row[-1][0]), count + 1
            if factor == 1:
                break
        if count == q - 1:
            return Residues("Bose", q, q * q - 1, tuple(sorted(members)))
    raise AssertionError("every finite field has a primitive element")


@cache
def ruzsa(p: int) -> Residues:
    """Return the p - 1 residues p i + (p - 1) g^i modulo p (p - 1), g a primitive root of the prime p."""
    root = next(g for g in range(2, p + 1) if len({pow(g, i, p) for i in range(1, p)}) == p - 1)
    modulus = p * (p - 1)
    return Residues(
        "Ruzsa", p, modulus, tuple(sorted((p * i + (p - 1) * pow(root, i, p)) % modulus for i in range(1, p)))
    )


def of_order(q: int) -> Iterator[Residues]:
    """Yield the sets that exist for an order."""
    known = prime_power(q)
    if known is None:
        return
    yield singer(q)
    yield bose(q)
    if known[1] == 1 and q > 3:
        yield ruzsa(q)


def multiples(residues: Residues) -> Iterator[tuple[int, ...]]:
    """Yield the set's multiples by units, rising, each once up to a shift."""
    seen = set()
    modulus = residues.modulus
    for unit in range(1, modulus):
        if gcd(unit, modulus) == 1:
            members = sorted(member * unit % modulus for member in residues.members)
            gaps = [(later - here) % modulus for here, later in zip(members, [*members[1:], members[0]], strict=True)]
            least = min(gaps)
            turns = [at for at, gap in enumerate(gaps) if gap == least]
            shape = min(tuple(gaps[at:] + gaps[:at]) for at in turns)
            if shape not in seen:
                seen.add(shape)
                yield tuple(members)


def _product(q: int, a: int, b: int) -> int:
    from planlint.assign.raster.finite_field import field

    return field(q).multiply[a][b]
