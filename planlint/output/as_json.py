"""The report as JSON, by `schemas/findings.schema.json`: no clock, no absolute path, the same bytes every time."""

from __future__ import annotations

import json
from typing import Any

from planlint.engine.report import Report
from planlint.finding import Finding, Place, Waived


def render(report: Report) -> str:
    """Return the report as a JSON text with a final newline."""
    document = {
        "format": 1,
        "checked": list(report.files),
        "findings": [finding_object(finding) for finding in report.findings],
        "not_checked": [
            {"rule": entry.rule, "needs": list(entry.needs), "subjects": list(entry.subjects)}
            for entry in report.not_checked
        ],
        "summary": report.counts._asdict(),
    }
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def finding_object(finding: Finding) -> dict[str, Any]:
    """Return one finding as the JSON output has it."""
    place = finding.place
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "message": finding.message,
        "plan": finding.plan,
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "end_line": place.end_line,
        "end_column": place.end_column,
        "pointer": place.pointer,
        "subjects": list(finding.subjects),
        "values": dict(finding.values),
        "related": [_related(related.place, related.label) for related in finding.related],
        "fix": finding.fix,
        "waived": None if finding.waived is None else _waived(finding.waived),
    }


def _waived(waived: Waived) -> dict[str, Any]:
    words = {"because": waived.because, "by": waived.by, "until": waived.until, "by_route": waived.by_route}
    written = {key: text for key, text in words.items() if text is not None}
    place = waived.place
    return {
        **written,
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "pointer": place.pointer,
    }


def _related(place: Place, label: str) -> dict[str, Any]:
    return {
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "pointer": place.pointer,
        "label": label,
    }
