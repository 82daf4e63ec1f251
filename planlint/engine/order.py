"""The order of findings: what helps ten minutes before doors stands first; stable between runs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planlint.finding import SEVERITIES, Finding
from planlint.rules.base import GROUPS
from planlint.rules.registry import by_id


def arrange(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings and drop those that another plan showed already; the first plan by path keeps it."""
    kept: dict[Any, Finding] = {}
    for finding in sorted(findings, key=_key):
        same = (
            finding.rule, finding.severity, finding.place, finding.subjects, finding.message,
            tuple(sorted((name, str(value)) for name, value in finding.values.items())), finding.waived is None,
        )  # fmt: skip
        kept.setdefault(same, finding)
    return tuple(kept.values())


def _key(finding: Finding) -> tuple[Any, ...]:
    group = GROUPS.index(by_id()[finding.rule].rule.group)
    severity = SEVERITIES.index(finding.severity)
    return (
        finding.waived is not None, group, severity, finding.rank, finding.place, finding.rule, finding.subjects,
        finding.message, finding.plan,
    )  # fmt: skip
