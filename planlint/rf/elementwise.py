"""Functions of one number, for plain numbers and numpy arrays alike.

Plain numbers go through `math`, so that nothing here loads numpy; whoever holds an array has loaded it
already.
"""

from __future__ import annotations

import math


def log10(value: float) -> float:
    """Decimal logarithm of a number or array above 0."""
    return _apply("log10", value)


def power_of_ten(exponent: float) -> float:
    """10 to the power of a number or array."""
    power: float = 10.0**exponent
    return power


def log1p(value: float) -> float:
    """Natural logarithm of 1 + value, exact near 0."""
    return _apply("log1p", value)


def expm1(value: float) -> float:
    """Exponential less 1, exact near 0."""
    return _apply("expm1", value)


def larger(value: float, other: float) -> float:
    """The larger of two, element by element."""
    if isinstance(value, (int, float)) and isinstance(other, (int, float)):
        return max(value, other)
    import numpy as np

    larger: float = np.maximum(value, other)
    return larger


def require_positive(**quantities: float) -> None:
    """Raise ValueError naming the first quantity that is not above 0 in every element."""
    for name, value in quantities.items():
        if not _everywhere(value > 0):
            raise ValueError(f"{name} must be more than 0, not {value}")


def require_not_negative(**quantities: float) -> None:
    """Raise ValueError naming the first quantity that is below 0 in any element."""
    for name, value in quantities.items():
        if not _everywhere(value >= 0):
            raise ValueError(f"{name} must not be negative, not {value}")


def require_between(low: float, high: float, **quantities: float) -> None:
    """Raise ValueError naming the first quantity outside a range, ends included, in any element."""
    for name, value in quantities.items():
        if not (_everywhere(value >= low) and _everywhere(value <= high)):
            raise ValueError(f"{name} must be from {low} to {high}, not {value}")


def _everywhere(holds: object) -> bool:
    return bool(holds) if isinstance(holds, bool) else bool(holds.all())  # type: ignore[attr-defined]


def _apply(name: str, value: float) -> float:
    if isinstance(value, (int, float)):
        result: float = getattr(math, name)(value)
        return result
    import numpy as np

    array: float = getattr(np, name)(value)
    return array
