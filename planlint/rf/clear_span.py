"""How wide a set of carriers must be to be clear of third-order intermodulation: a bound in closed form.

All differences of a set clear of third order are at least the spacing, and any two of them at least a guard apart: 2A = B + C
and A + B = C + D are equal differences. Windows of k neighbouring carriers then have a least sum of widths.

Sources: windowing, P. Erdos and P. Turan (1941), B. Lindstrom (1969), in K. O'Bryant, arXiv 2308.12406 (read in a public
copy); the form with a guard was derived here and is compared with exhaustive search in the tests.
"""

from __future__ import annotations


def least_span(count: int, spacing: int, guard: int) -> int:
    """Return a length that no set of so many carriers can stay below, clear of third order.

    Args:
        count: how many carriers.
        spacing: the least difference of any two, in any integer unit.
        guard: the least |2A - B - C| and |A + B - C - D| of distinct carriers, in the same unit.
    """
    guard = min(guard, spacing)  # two differences with a common end are only the spacing apart
    best = 0
    for k in range(1, count):
        pairs = k * count - k * (k + 1) // 2
        best = max(best, -(-(spacing * pairs + guard * pairs * (pairs - 1) // 2) // (k * (k + 1) // 2)))
    return best


def most_within(span: int, spacing: int, guard: int, at_most: int) -> int:
    """Return a number of carriers that no set within a span can exceed, clear of third order; never above `at_most`."""
    count = min(at_most, 1)
    while count < at_most and least_span(count + 1, spacing, guard) <= span:
        count += 1
    return count
