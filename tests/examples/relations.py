"""Intermodulation by definition: every equation tried on every choice of carriers; nothing of planlint is imported.

The equations are W. C. Babcock's, Bell System Technical Journal 32 (1953); limits are the format's derived ones
(B/2 for two-signal third order, B/4 for three-signal third and two-signal fifth; common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import combinations, permutations
from typing import NamedTuple


class Emission(NamedTuple):
    """A carrier in Hz and the width of its emission in Hz."""

    carrier_hz: int
    width_hz: int


def hertz(megahertz: str) -> int:
    """Return a carrier written in MHz as integer Hz."""
    whole = Decimal(megahertz) * 1_000_000
    assert whole == int(whole), megahertz
    return int(whole)


def relations(emissions: Mapping[str, Emission]) -> set[str]:
    """Return every relation nearer than its limit, written as the format writes it."""
    f = {name: emission.carrier_hz for name, emission in emissions.items()}
    return {
        text
        for text, members, offset, share in _all(sorted(emissions), f)
        if offset * share < max(emissions[name].width_hz for name in members)
    }


def skirts(emissions: Mapping[str, Emission]) -> dict[str, tuple[str, ...]]:
    """Return every relation 2A = B + C that misses by its centre and not by its width, with its members.

    A product of two signals is as wide as both, weighed by their coefficients.
    """
    found: dict[str, tuple[str, ...]] = {}
    for a, b, c in permutations(sorted(emissions), 3):
        one, two, three = emissions[a], emissions[b], emissions[c]
        offset = abs(2 * one.carrier_hz - two.carrier_hz - three.carrier_hz)
        reach = (2 * one.width_hz + two.width_hz + three.width_hz) / 2
        near = max(one.width_hz, two.width_hz, three.width_hz) / 2
        if b < c and near <= offset < reach:
            found[f"2*{a} = {b} + {c}"] = (a, b, c)
    return found


def _all(ids: list[str], f: Mapping[str, int]) -> Iterator[tuple[str, tuple[str, ...], int, int]]:
    for a, b, c in permutations(ids, 3):
        if b < c:
            yield f"2*{a} = {b} + {c}", (a, b, c), abs(2 * f[a] - f[b] - f[c]), 2
        yield f"3*{a} = 2*{b} + {c}", (a, b, c), abs(3 * f[a] - 2 * f[b] - f[c]), 4
    for a, b, c, d in combinations(ids, 4):
        for (p, q), (r, s) in (((a, b), (c, d)), ((a, c), (b, d)), ((a, d), (b, c))):
            yield f"{p} + {q} = {r} + {s}", (a, b, c, d), abs(f[p] + f[q] - f[r] - f[s]), 4
