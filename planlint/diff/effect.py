"""Findings gained, lost and worse: two runs of the rules side by side."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

from planlint.finding import SEVERITIES, Finding

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
#: For a rule: which names in a finding's values are bounds, and which direction is worse.
Directions = Callable[[str], Mapping[str, str]]


class Worse(NamedTuple):
    """A finding that both plans have and that is worse in the new one."""

    finding: Finding
    was: Finding


class Effect(NamedTuple):
    """What a new plan's findings are against an old one's; waived ones count as gone."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    worse: tuple[Worse, ...]

    @property
    def new_errors(self) -> tuple[Finding, ...]:
        """The new findings that are errors."""
        return tuple(finding for finding in self.new if finding.severity == "error")


def key(finding: Finding, renamed: Mapping[str, str] | None = None, *, by_plan: bool = False) -> tuple[Any, ...]:
    """Return what makes a finding the same one in another plan.

    Args:
        finding: a finding.
        renamed: ids that go by another name in the other plan.
        by_plan: findings of several plans are compared.
    """
    names = renamed or {}
    subjects = tuple(sorted(names.get(subject, subject) for subject in finding.subjects))
    relation = str(finding.values.get("relation", ""))
    relation = _ID.sub(lambda match: names.get(match[0], match[0]), relation)
    sides = tuple(sorted(" + ".join(sorted(side.split(" + "))) for side in relation.split(" = ")))
    place = "" if subjects else finding.place.pointer
    return finding.rule, subjects, sides, place, finding.plan if by_plan else ""


def effect(
    old: Iterable[Finding],
    new: Iterable[Finding],
    renamed: Mapping[str, str],
    directions: Directions,
    *,
    by_plan: bool = False,
) -> Effect:
    """Compare the findings of two runs.

    Args:
        old: findings of the old plan.
        new: findings of the new one.
        renamed: old ids that go by another name now.
        directions: returns for a rule which of its values may be bounded and which direction is worse.
        by_plan: the runs judged several plans each.
    """
    before: dict[Any, list[Finding]] = {}
    for finding in old:
        if finding.waived is None:
            before.setdefault(key(finding, renamed, by_plan=by_plan), []).append(finding)
    come, worse = [], []
    for finding in new:
        if finding.waived is not None:
            continue
        same = before.get(key(finding, by_plan=by_plan))
        if not same:
            come.append(finding)
            continue
        was = same.pop(0)
        if _is_worse(was, finding, directions(finding.rule)):
            worse.append(Worse(finding, was))
    gone = tuple(finding for left in before.values() for finding in left)
    return Effect(tuple(come), gone, tuple(worse))


def _is_worse(was: Finding, now: Finding, directions: Mapping[str, str]) -> bool:
    if SEVERITIES.index(now.severity) < SEVERITIES.index(was.severity):
        return True
    for name, direction in directions.items():
        first, last = was.values.get(name), now.values.get(name)
        if isinstance(first, str) or isinstance(last, str) or first is None or last is None:
            continue
        if (last < first) if direction == "lower" else (last > first):
            return True
    return False
