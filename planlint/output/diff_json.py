"""A difference as JSON, by `schemas/diff.schema.json`: the same bytes every time."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

from planlint.diff.change import Change, Consequence
from planlint.diff.result import Difference
from planlint.output.as_json import finding_object


def render(found: Difference) -> str:
    """Return a difference as a JSON text with a final newline."""
    return json.dumps(document_of(found), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def document_of(found: Difference) -> dict[str, Any]:
    """Return a difference as the JSON output has it."""
    return {
        "format": 1,
        "changes": [change_object(change) for change in found.changes],
        "touch": {unit: list(fields) for unit, fields in found.touched.fields.items()},
        "leave": list(found.touched.leave),
        "findings": {
            "new": [finding_object(finding) for finding in found.effect.new],
            "gone": [finding_object(finding) for finding in found.effect.gone],
            "worse": [
                {
                    **finding_object(worse.finding),
                    "was": {
                        "severity": worse.was.severity,
                        "message": worse.was.message,
                        "values": dict(worse.was.values),
                    },
                }
                for worse in found.effect.worse
            ],
        },
    }


def change_object(change: Change) -> dict[str, Any]:
    """Return one change as the JSON output has it."""
    return {
        "kind": change.kind,
        "pointer": change.pointer,
        "old": plain(change.old),
        "new": plain(change.new),
        "unit": change.unit,
        "cause": change.cause,
        "consequences": [_consequence(item) for item in change.consequences],
        "other_pointer": change.other_pointer,
    }


def _consequence(item: Consequence) -> dict[str, Any]:
    return {
        "id": item.id,
        "severity": item.severity,
        "message": item.message,
        "units": list(item.units),
        "values": dict(item.values),
        "worse": item.worse,
    }


def plain(value: Any) -> Any:
    """Return a plan's value as JSON has it: an exact decimal becomes a number, whole ones without a point."""
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    if isinstance(value, dict):
        return {key: plain(child) for key, child in value.items()}
    if isinstance(value, list):
        return [plain(item) for item in value]
    return value
