"""Everything a comparison found, as values; the output formats only show it."""

from __future__ import annotations

from typing import NamedTuple

from planlint.diff.change import Change, Consequence
from planlint.diff.effect import Effect
from planlint.diff.side import Side
from planlint.diff.state import State, Touches
from planlint.facts.limits import number, written
from planlint.plan.model import Plan

_RATE = "hands_min_per_unit"


class Hands(NamedTuple):
    """How much work it is: units, entries of listening lists, minutes, and at which rate.

    Attributes:
        units: units to touch for more than their listening lists.
        entries: entries of listening lists; each counts like a unit.
        minutes: all of it.
        min_per_unit: the rate.
        house: the plan writes that rate; else it is the documented default.
    """

    units: int
    entries: int
    minutes: float
    min_per_unit: float
    house: bool


class Difference(NamedTuple):
    """What differs between two plans, and what it means.

    Attributes:
        old: the old side.
        new: the new side.
        old_plan: the old plan, its ids renamed to those of the new one.
        new_plan: the new plan.
        before: what the units held.
        after: what they must hold.
        changes: every difference.
        loose: consequences that follow from no change, as where units were found otherwise than planned.
        touched: which units must be touched.
        effect: findings gained, lost and worse.
        risks: ids of what `--fail-on risk` fails for.
        rules_run: how many rules judged the new plan.
        rules_lacking: how many lacked facts there.
    """

    old: Side
    new: Side
    old_plan: Plan
    new_plan: Plan
    before: State
    after: State
    changes: tuple[Change, ...]
    loose: tuple[Consequence, ...]
    touched: Touches
    effect: Effect
    risks: tuple[str, ...]
    rules_run: int
    rules_lacking: int

    @property
    def differs(self) -> bool:
        """Whether there is anything to say."""
        return bool(self.changes or self.touched.fields)

    @property
    def consequences(self) -> tuple[Consequence, ...]:
        """Every consequence once, those that hang on no change last."""
        hung = dict.fromkeys(item for change in self.changes for item in map(_Hashed, change.consequences))
        return (*(item.consequence for item in hung), *self.loose)

    @property
    def hands(self) -> Hands:
        """The work in people-time."""
        rate = number(self.new_plan, _RATE)
        units, entries = self.touched.units, self.touched.entries
        return Hands(units, entries, (units + entries) * rate, rate, written(self.new_plan, _RATE) is not None)


class _Hashed:
    """A consequence that equals another with the same words about the same units."""

    def __init__(self, consequence: Consequence) -> None:
        self.consequence = consequence
        self._key = (consequence.id, consequence.message, consequence.units)

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Hashed) and other._key == self._key
