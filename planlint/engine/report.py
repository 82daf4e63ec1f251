"""The result of a run, as values; the output formats only show it."""

from __future__ import annotations

from typing import NamedTuple

from planlint.facts.hands import Rate
from planlint.finding import SEVERITIES, Finding, NotChecked, Severity


class Head(NamedTuple):
    """What one judged plan is: shown first, so that nobody reads another day's result."""

    file: str
    kind: str
    title: str | None
    date: str | None
    region: str | None
    links: int
    assumed_khz: str | None
    unjudged: str | None
    rate: Rate | None = None


class Counts(NamedTuple):
    """How many findings of each severity, waived ones apart, and how many rules ran, could not, or are off."""

    error: int
    warning: int
    note: int
    waived: int
    rules_run: int
    rules_not_checked: int
    rules_off: int


class Report(NamedTuple):
    """Everything one run found."""

    heads: tuple[Head, ...]
    files: tuple[str, ...]
    passed_over: tuple[str, ...]
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    counts: Counts
    off: tuple[str, ...]
    ran: tuple[str, ...]
    fatal: bool

    def exit_code(self, fail_on: Severity) -> int:
        """Return 0, 1 or 2 by the contract: 2 where a file gave no document, 1 for findings at or above `fail_on`."""
        if self.fatal:
            return 2
        failing = SEVERITIES[: SEVERITIES.index(fail_on) + 1]
        return int(any(finding.severity in failing for finding in self.findings if finding.waived is None))
