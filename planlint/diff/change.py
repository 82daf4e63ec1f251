"""A difference as data: `schemas/diff.schema.json` describes the same shape."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from planlint.finding import Severity, Value

ChangeKind = Literal["added", "removed", "modified", "renamed", "swapped"]
#: Who brought a change about: the venue, the tour's own decision, the gear; unexplained is a carrier that moved
#: though the old one still passes every rule that could be checked at the new place.
Cause = Literal["venue", "decision", "hire", "unexplained"]


class Consequence(NamedTuple):
    """What one change brings with it.

    Attributes:
        id: what it is, in the manner of a rule's id.
        severity: how much it matters.
        message: for people: which unit, its numbers, what to do.
        units: the units concerned.
        values: the numbers used.
        worse: a safety number got worse.
    """

    id: str
    severity: Severity
    message: str
    units: tuple[str, ...] = ()
    values: Mapping[str, Value] = {}
    worse: bool = False


class Change(NamedTuple):
    """One difference between two resolved plans.

    Attributes:
        kind: what happened.
        pointer: JSON Pointer (RFC 6901) into the new plan, of what was removed into the old one. An item of
            `day`, `waivers` or `cautions` is addressed by its identity in the old plan, never by its position.
        old: the old value; of a rename the old id; None where it was unwritten.
        new: the new value; of a rename the new id; None where it is unwritten.
        unit: the unit that the entry is about, or None. Where a link's ends are unwritten, the link stands for them.
        cause: who brought it about.
        consequences: what it brings.
        other_pointer: of a rename the old pointer; of a swap the other carrier's.
    """

    kind: ChangeKind
    pointer: str
    old: Any
    new: Any
    unit: str | None = None
    cause: Cause = "venue"
    consequences: tuple[Consequence, ...] = ()
    other_pointer: str | None = None
