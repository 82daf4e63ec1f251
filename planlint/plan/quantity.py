"""Exact quantities: decimal numbers to integer Hz, clock text to minutes, and back to what a person reads."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

_HZ_PER = {"hz": 1, "khz": 1_000, "mhz": 1_000_000}
MINUTES_PER_DAY = 24 * 60


def to_hz(value: int | Decimal, unit: str) -> int:
    """Return integer Hz of a number in `unit` (`hz`, `khz` or `mhz`), exactly where it is a whole number of Hz."""
    exact = Decimal(value) * _HZ_PER[unit]
    return int(exact.to_integral_value(rounding=ROUND_HALF_EVEN))


def decimals(value: int | Decimal) -> int:
    """Return how many decimals the author wrote, trailing zeros included."""
    exponent = Decimal(value).as_tuple().exponent
    return -exponent if isinstance(exponent, int) and exponent < 0 else 0


def mhz(hertz: int) -> str:
    """Write Hz as MHz with three decimals, more only where they are needed: `505.300`, `505.30025`."""
    text = f"{Decimal(hertz) / 1_000_000:.6f}"
    head, tail = text[:-3], text[-3:].rstrip("0")
    return head + tail


def khz(hertz: int) -> str:
    """Write Hz as kHz without superfluous zeros: `25`, `12.5`."""
    text = f"{Decimal(hertz) / 1_000:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def khz_number(hertz: int) -> int | float:
    """Return Hz as a number of kHz: an int where it is whole."""
    whole, rest = divmod(hertz, 1_000)
    return whole if rest == 0 else hertz / 1_000


def minutes(clock: str) -> int:
    """Return minutes since midnight of `HH:MM`."""
    hours, _, mins = clock.partition(":")
    return int(hours) * 60 + int(mins)


def clock(minute: int) -> str:
    """Write minutes since midnight of the show's date as `HH:MM`, past midnight too."""
    return f"{minute // 60 % 24:02d}:{minute % 60:02d}"
