"""The other shows of a tour: the one before, and the last visit to the same place."""

from __future__ import annotations

from collections.abc import Iterable

from planlint.plan.model import Plan


def show_before(plan: Plan, siblings: Iterable[Plan] | None) -> Plan | None:
    """Return the tour's last show before this one's date, or None."""
    date = plan.date
    earlier = [other for other in siblings or () if date and other.date and other.date < date]
    return max(earlier, key=lambda other: (other.date or "", other.file), default=None)


def last_visit(plan: Plan, siblings: Iterable[Plan] | None) -> Plan | None:
    """Return the tour's last show at the same place before this one's date, or None."""
    here = [other for other in siblings or () if place(plan) is not None and place(other) == place(plan)]
    return show_before(plan, here)


def place(plan: Plan) -> str | None:
    """Return a show's place for comparison, or None where it is unwritten."""
    written = plan.show.get("place")
    return " ".join(str(written).casefold().split()) if written is not None else None
