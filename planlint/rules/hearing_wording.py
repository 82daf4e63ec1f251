"""How the rules about hearing write levels and times: the yardstick named, the uncertainty printed, no verdict."""

from __future__ import annotations

from planlint.rf.hearing import UNCERTAINTY_DB, YARDSTICKS, allowed_time

YARDSTICK = "niosh"
NAME = YARDSTICKS[YARDSTICK].name
PLUS_MINUS = f"±{UNCERTAINTY_DB:g} dB"
DISCLAIMER = "An estimate at the eardrum, not an assessment."


def level(level_db: float, beside_db: float | None = None) -> str:
    """Write a level in dB to a tenth, and finer only where that tells it from the one beside it."""
    for decimals in range(1, 7):
        text = _plain(level_db, decimals)
        if beside_db is None or beside_db == level_db or text != _plain(beside_db, decimals):
            return text
    return text


def duration(hours: float) -> str:
    """Write a time as published tables do, in hours, minutes and seconds, rounded to the second."""
    seconds = int(hours * 3600 + 0.5)
    if hours * 3600 < 1:
        return "less than 1 s"
    if seconds >= 3600:
        seconds = int(seconds / 60 + 0.5) * 60
    whole_hours, rest = divmod(seconds, 3600)
    minutes, rest = divmod(rest, 60)
    parts = ((whole_hours, "h"), (minutes, "min"), (rest, "s"))
    return " ".join(f"{count} {unit}" for count, unit in parts if count)


def time_at(level_db: float) -> str:
    """Write the time that the yardstick gives for a level in dB(A)."""
    return duration(allowed_time(level_db, YARDSTICK).time_h)


def time_if_higher(level_db: float) -> str:
    """Write the time that the yardstick gives where the level is off by the uncertainty, upwards."""
    return duration(allowed_time(level_db, YARDSTICK).least_h)


def seconds_at(level_db: float) -> float:
    """Return the time in seconds that the yardstick gives for a level in dB(A), to four figures."""
    return float(f"{allowed_time(level_db, YARDSTICK).time_h * 3600:.4g}")


def _plain(number: float, decimals: int) -> str:
    text = f"{number:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
