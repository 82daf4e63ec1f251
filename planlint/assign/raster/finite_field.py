"""Finite fields GF(q), q a power of a prime: tables of sums and products, and powers of a primitive element.

Elements are numbered 0 ... q - 1; 0 and 1 are the field's own; number n stands for the polynomial whose
coefficients are the digits of n in base p. Textbook algebra; the tests check the field axioms.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import product
from typing import NamedTuple


class Field(NamedTuple):
    """The tables of a field: add[a][b] and multiply[a][b]."""

    order: int
    add: tuple[tuple[int, ...], ...]
    multiply: tuple[tuple[int, ...], ...]


def prime_power(q: int) -> tuple[int, int] | None:
    """Return (p, k) with q = p^k and p prime, or None."""
    if q < 2:
        return None
    p = next((d for d in range(2, int(q**0.5) + 1) if q % d == 0), q)
    k = 0
    while q % p == 0:
        q, k = q // p, k + 1
    return (p, k) if q == 1 else None


@cache
def field(q: int) -> Field:
    """Return GF(q).

    Raises:
        ValueError: q is not the power of a prime.
    """
    known = prime_power(q)
    if known is None:
        raise ValueError(f"there is no field of {q} elements")
    p, degree = known
    if degree == 1:
        add = tuple(tuple((a + b) % p for b in range(p)) for a in range(p))
        return Field(q, add, tuple(tuple(a * b % p for b in range(p)) for a in range(p)))
    digits = [tuple(n // p**at % p for at in range(degree)) for n in range(q)]
    number = {row: n for n, row in enumerate(digits)}
    add = tuple(tuple(number[tuple((x + y) % p for x, y in zip(a, b, strict=True))] for b in digits) for a in digits)
    powers = [number[row] for row in _powers_of_x(p, degree)]
    log = {element: at for at, element in enumerate(powers)}
    multiply = tuple(tuple(powers[(log[a] + log[b]) % (q - 1)] if a and b else 0 for b in range(q)) for a in range(q))
    return Field(q, add, multiply)


def _powers_of_x(p: int, degree: int) -> list[tuple[int, ...]]:
    """Return 1, x, x^2 ... modulo the first polynomial for which they run through every element but 0."""
    one = (1,) + (0,) * (degree - 1)
    for low in product(range(p), repeat=degree):  # x^degree = low[0] + low[1] x + ...
        row, seen = one, [one]
        while True:
            row = tuple((a + row[-1] * b) % p for a, b in zip((0, *row[:-1]), low, strict=True))
            if row == one or not any(row) or len(seen) >= p**degree:
                break
            seen.append(row)
        if row == one and len(seen) == p**degree - 1:
            return seen
    raise AssertionError("every finite field has a primitive element")


def powers(q: int, degree: int) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Yield, for each monic polynomial of a degree over GF(q), x, x^2, x^3 ... modulo it, as coefficient tuples.

    Each sequence ends with the first power in GF(q), or without one after (q^degree - 1) / (q - 1): a sequence of
    just that length belongs to a primitive element, up to factors from GF(q).
    """
    sums, products = field(q).add, field(q).multiply
    most = (q**degree - 1) // (q - 1)
    for high in product(range(q), repeat=degree):
        low = high[::-1]  # the lowest coefficient changes first: all may fail for one value of it
        if not low[0]:
            continue
        row = (0, 1) + (0,) * (degree - 2)
        seen: list[tuple[int, ...]] = []
        while any(row[1:]) and len(seen) < most:
            seen.append(row)
            times = products[row[-1]]
            row = tuple([sums[a][times[b]] for a, b in zip((0, *row[:-1]), low, strict=True)])
        if not any(row[1:]):
            yield (*seen, row)
