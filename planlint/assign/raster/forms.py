"""The equations of intermodulation, turned so that one new carrier stands alone.

A relation of `planlint.rf.intermodulation` says that a sum of carriers with coefficients is nearly 0. Solved for
one member x, with a second member y that has just been placed, it reads ::

    own * x = placed * y + (what the remaining members add up to)

so what y forbids is an image of the others, moved by y: a fact that turns thousands of products into a few moves
of a bitmap. The remaining members are one carrier (two-signal products) or two (three-signal products).
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from planlint.rf.intermodulation import FORMS, Limits

KINDS: tuple[str, ...] = Limits._fields


class Turn(NamedTuple):
    """own * x = placed * y + rest[0] * v (+ rest[1] * w), every letter another carrier; own is positive."""

    kind: int
    own: int
    placed: int
    rest: tuple[int, ...]


@cache
def equations() -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Return (kind, coefficients that add up to 0) of every equation, larger coefficients first."""
    found = {
        (KINDS.index(form.kind), tuple(sorted((*form.left, *(-factor for factor in form.right)), reverse=True)))
        for form in FORMS
    }
    return tuple(sorted(found))


@cache
def turns(kinds: frozenset[int]) -> tuple[Turn, ...]:
    """Return every way in which a new carrier can stand in an equation beside a placed one.

    Args:
        kinds: the kinds that are on, as positions in `KINDS`.
    """
    found = set()
    for kind, factors in equations():
        if kind in kinds:
            for own in set(factors):
                others = _without(factors, own)
                sign = -1 if own > 0 else 1
                for placed in set(others):
                    rest = tuple(sorted(sign * factor for factor in _without(others, placed)))
                    found.add(Turn(kind, abs(own), sign * placed, rest))
    return tuple(sorted(found))


def _without(factors: tuple[int, ...], one: int) -> tuple[int, ...]:
    left = list(factors)
    left.remove(one)
    return tuple(left)
