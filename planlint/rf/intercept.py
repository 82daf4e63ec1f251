"""Levels of intermodulation products from intercept points.

Model: a memoryless nonlinearity with one odd-order term. For equal levels P the product of order n is n P -
(n - 1) IP, with the intercept point IP of that order at the same place (input or output) as P; "Pout = 3 Pin
- 2 IIP3" (read in a public copy). For unlike levels each enters with the size of its coefficient, and the
number of ways in which the product arises (a multinomial coefficient) adds to the level of the two-signal
product of that order:

    2A - B 0, A + B - C 6.02;  3A - 2B 0, 3A - B - C 6.02, 2A + B - 2C 9.54, 2A + B - C - D 15.56 dB

+6 dB for three signals: microwavejournal.com article 3377 (read in a public copy). The intercept is an
extrapolation from low levels: near saturation real products neither follow these slopes nor stay below the
estimate.

Between transmitters the same holds at the output stage of each: the others arrive there weakened by the
isolation (ITU-R SM.1446, inter-transmitter intermodulation; the type is named in Report ITU-R SM.2021, read
in a public copy, the formula here is the intercept model above).
"""

from __future__ import annotations

from math import factorial, log10, prod
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planlint.rf.intermodulation import Relation


def product_at(relation: Relation, victim: int) -> tuple[tuple[int, int], ...]:
    """Which product of a relation falls on one of its carriers.

    Args:
        relation: A relation between carriers.
        victim: The index of the carrier hit.

    Returns:
        (coefficient, carrier index) of each contributor, coefficients summing to 1. A victim that stands in
        the relation with a coefficient of 2 or 3 is a contributor itself, as in B + C - A on A.

    Raises:
        ValueError: The victim is not in the relation.
    """
    weights = {index: coefficient for coefficient, index in relation.left}
    weights |= {index: -coefficient for coefficient, index in relation.right}
    if victim not in weights:
        raise ValueError(f"carrier {victim} is not in {relation}")
    if weights[victim] > 0:
        weights = {index: -weight for index, weight in weights.items()}
    weights[victim] += 1
    return tuple((weight, index) for index, weight in weights.items() if weight)


def product_dbm(coefficients: Sequence[int], levels_dbm: Sequence[float], intercept_dbm: float) -> float:
    """Level of one intermodulation product.

    Args:
        coefficients: Signed coefficients of the contributors; their sizes add up to the order, 3, 5, 7 ...
        levels_dbm: Level of each contributor at the nonlinearity in dBm.
        intercept_dbm: Intercept point of that order, referred to the same place, in dBm.

    Returns:
        Level of the product there in dBm.

    Raises:
        ValueError: The order is even or below 3, or the two sequences differ in length.
    """
    order = sum(map(abs, coefficients))
    if order < 3 or order % 2 == 0:
        raise ValueError(f"coefficients {tuple(coefficients)} make no odd order of 3 or more")
    terms = zip(coefficients, levels_dbm, strict=True)
    together = sum(abs(coefficient) * level for coefficient, level in terms)
    return together - (order - 1) * intercept_dbm + multiplicity_db(coefficients)


def multiplicity_db(coefficients: Sequence[int]) -> float:
    """By how many dB a product exceeds the two-signal one of its order at equal levels (A + B - C: 6.02)."""
    order = sum(map(abs, coefficients))
    more = order // 2 + 1
    ways = factorial(order) // prod(factorial(abs(coefficient)) for coefficient in coefficients)
    of_two = factorial(order) // (factorial(more) * factorial(order - more))
    return 20 * log10(ways / of_two)


def transmitter_product_dbm(
    coefficients: Sequence[int],
    powers_dbm: Sequence[float],
    isolations_db: Sequence[float],
    intercept_dbm: float,
) -> float:
    """Level of a product made in one transmitter's output stage from the others coupled into it.

    Args:
        coefficients: Signed coefficients of the contributors.
        powers_dbm: Output power of each contributor in dBm.
        isolations_db: Isolation from each one's output to that stage in dB; 0 for the transmitter itself.
        intercept_dbm: Output intercept point of that stage, of the product's order, in dBm.

    Returns:
        Level of the product at that transmitter's output in dBm; from there it takes the same way as its
        carrier.

    Raises:
        ValueError: As in `product_dbm`.
    """
    arriving = [power - isolation for power, isolation in zip(powers_dbm, isolations_db, strict=True)]
    return product_dbm(coefficients, arriving, intercept_dbm)


def intercept_from_test_dbm(level_dbm: float, below_db: float, order: int) -> float:
    """Intercept point in dBm from a two-signal test: equal tones at a level, products so many dB below them.

    Args:
        level_dbm: Level of each tone in dBm.
        below_db: Distance from tone down to product in dB.
        order: Order of the product, 3 or more.

    Returns:
        Intercept point in dBm where the level is measured.

    Raises:
        ValueError: The order is below 3.
    """
    if order < 3:
        raise ValueError(f"order must be 3 or more, not {order}")
    return level_dbm + below_db / (order - 1)
