"""What became of a waiver, as the rules about waivers see it."""

from __future__ import annotations

from typing import NamedTuple

from planlint.plan.model import Waiver

MIN_REASON = 12  # characters; the catalogue's own figure, common practice, no source


class Exceeded(NamedTuple):
    """A value that is worse than what was accepted."""

    name: str
    now: int | float
    accepted: int | float


class Outcome(NamedTuple):
    """One waiver in one plan.

    Attributes:
        plan: the venue or plan.
        date: the show's date, if it is written.
        waiver: the waiver.
        matched: how many findings it was about.
        exceeded: accepted values that are now worse.
        refused: why it may not cover what it is about, or None.
        in_force: its last day is not past.
    """

    plan: str
    date: str | None
    waiver: Waiver
    matched: int
    exceeded: tuple[Exceeded, ...]
    refused: str | None
    in_force: bool


class Outcomes(NamedTuple):
    """All outcomes of one waiver over the plans that share its file; `complete` if every such plan was judged."""

    outcomes: tuple[Outcome, ...]
    complete: bool


def has_reason(waiver: Waiver) -> bool:
    """Say whether a waiver gives a reason worth the name, and who gave it."""
    return bool(waiver.because and len(waiver.because.strip()) >= MIN_REASON and waiver.by and waiver.by.strip())
