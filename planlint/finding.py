"""What a rule says (`Fault`, `Unchecked`) and what the user reads (`Finding`, `NotChecked`).

A rule points at the plan by JSON Pointer; only the engine turns a pointer into a file, a line and a column.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

Severity = Literal["error", "warning", "note"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")

Value = int | float | str


class Place(NamedTuple):
    """A range in a file: lines and columns count from 1 in code points, the end column is exclusive."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int
    pointer: str


class Mark(NamedTuple):
    """A related place as a rule names it: a pointer into the resolved plan and what stands there."""

    at: str
    label: str
    key: bool = False


class Fault(NamedTuple):
    """One fault as a rule yields it.

    Attributes:
        at: JSON Pointer into the resolved plan (RFC 6901); the deepest written ancestor is shown.
        message: who or where, what is wrong with its number, what to do at both ends.
        subjects: ids of links, others and devices concerned.
        values: the numbers used, by the names on the rule's page.
        related: other places that take part.
        fix: a short instruction, or None.
        severity: overrides the rule's own severity for this fault.
        waivable: overrides the rule's own word for this fault (read law cannot be waived).
        key: point at the key rather than at its value.
        place: an exact place, for faults of a file that has no resolved plan.
        rank: where among equals of the same rule's group this one stands, worst first.
    """

    at: str
    message: str
    subjects: tuple[str, ...] = ()
    values: Mapping[str, Value] = {}
    related: tuple[Mark, ...] = ()
    fix: str | None = None
    severity: Severity | None = None
    waivable: bool | None = None
    key: bool = False
    place: Place | None = None
    related_places: tuple[tuple[Place, str], ...] = ()
    rank: float = 0.0


class Unchecked(NamedTuple):
    """A rule could not judge something: the pointers of the facts it lacks, and whom that concerns."""

    needs: tuple[str, ...]
    subjects: tuple[str, ...] = ()


class Related(NamedTuple):
    """A related place of a finding, with its label."""

    place: Place
    label: str


class Waived(NamedTuple):
    """The waiver that covers a finding, in its own words, and where it is written."""

    because: str
    by: str
    until: str | None
    by_route: str | None
    place: Place


class Spot(NamedTuple):
    """Where work is done: at a rack, with a person, at an antenna, or at a unit that the plan puts nowhere."""

    kind: Literal["rack", "person", "antenna", "unit"]
    id: str


class Touch(NamedTuple):
    """One unit to enter something on and try, or the entry `entry` (a link) of its listening list; and where it is."""

    unit: str
    entry: str | None
    where: Spot


#: What happens if a finding is left, the worst first.
Harm = Literal["law", "hearing", "unread", "dead-link", "margin", "tidy"]
HARMS: tuple[Harm, ...] = ("law", "hearing", "unread", "dead-link", "margin", "tidy")


class Triage(NamedTuple):
    """What a finding asks of the crew.

    Attributes:
        where: the places to go to, for the way that takes the fewest touches.
        effort_min: an estimate of one person's minutes at the units that way; None where no unit is touched.
        harm: what happens if it is left.
        ways: the ways to clear it, each as its touches; one of them is enough.
    """

    where: tuple[Spot, ...]
    effort_min: float | None
    harm: Harm
    ways: tuple[tuple[Touch, ...], ...] = ()


class Finding(NamedTuple):
    """One finding with its place, ready to be shown; the shape of the JSON output follows it."""

    rule: str
    severity: Severity
    message: str
    plan: str
    place: Place
    subjects: tuple[str, ...]
    values: Mapping[str, Value]
    related: tuple[Related, ...]
    fix: str | None
    waived: Waived | None
    waivable: bool
    rank: float
    triage: Triage | None = None


class NotChecked(NamedTuple):
    """One rule that lacked facts in one plan."""

    rule: str
    needs: tuple[str, ...]
    subjects: tuple[str, ...]
    plan: str
