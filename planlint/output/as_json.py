"""The report as JSON, by `schemas/findings.schema.json`: no clock, no absolute path, the same bytes every time."""

from __future__ import annotations

import json
from typing import Any

from planlint.engine.report import Report
from planlint.engine.triage import Triager
from planlint.engine.worklist import Item, Worklist
from planlint.finding import Finding, Place, Spot, Waived


def render(report: Report, work: Worklist | None = None) -> str:
    """Return the report as a JSON text with a final newline.

    Args:
        report: the result of a run.
        work: what fits the time there is, if the user asked.
    """
    document = {
        "format": 1,
        "checked": list(report.files),
        "findings": [finding_object(finding) for finding in report.findings],
        "not_checked": [
            {"rule": entry.rule, "needs": list(entry.needs), "subjects": list(entry.subjects)}
            for entry in report.not_checked
        ],
        "summary": report.counts._asdict(),
        "triage": None if work is None else _work(work),
    }
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def finding_object(finding: Finding) -> dict[str, Any]:
    """Return one finding as the JSON output has it."""
    place, triage = finding.place, finding.triage or Triager(None).triage(finding)
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
        "where": _spots(triage.where),
        "effort_min": None if triage.effort_min is None else plain(triage.effort_min),
        "harm": triage.harm,
    }


def plain(number: float) -> int | float:
    """Return a number of minutes without binary dust, as an int where it is whole."""
    rounded = round(number, 3)
    return int(rounded) if rounded == int(rounded) else rounded


def _work(work: Worklist) -> dict[str, Any]:
    return {
        "minutes": plain(work.minutes),
        "hands": work.hands,
        "min_per_touch": plain(work.rate.min_per_unit),
        "touches": work.touches,
        "touches_room": work.room,
        "do": [_item(item) for item in work.do],
        "also": [_item(item) for item in work.also],
        "leave": [_item(item) for item in work.leave],
        "uncounted": list(work.uncounted),
    }


def _item(item: Item) -> dict[str, Any]:
    return {
        "finding": item.at,
        "where": _spots(item.where),
        "units": [touch.unit for touch in item.touches if touch.entry is None],
        "entries": [{"unit": touch.unit, "link": touch.entry} for touch in item.touches if touch.entry is not None],
    }


def _spots(spots: tuple[Spot, ...]) -> list[dict[str, str]]:
    return [spot._asdict() for spot in spots]


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
