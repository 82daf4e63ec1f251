"""What answers to one question share: the last line, and the JSON text."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from planlint.assign.around import Neighbour
from planlint.finding import Finding
from planlint.plan.quantity import khz_number

LAST = "This says what was searched and found, no more."


def dump(document: dict[str, Any]) -> str:
    """Return a document as JSON text."""
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def finding_lines(found: Iterable[Finding], most: int = 6) -> Iterator[str]:
    """Yield findings in a line each, indented; of very many the first, and how many more."""
    for index, one in enumerate(listed := list(found)):
        if index == most:
            yield f"  and {len(listed) - most} more"
            return
        yield f"  {one.severity} {one.rule}: {one.message}"


def finding_objects(found: Iterable[Finding]) -> list[dict[str, Any]]:
    """Return findings as an answer's JSON has them."""
    return [
        {"rule": one.rule, "severity": one.severity, "subjects": list(one.subjects), "message": one.message}
        for one in found
    ]


def neighbour_object(one: Neighbour) -> dict[str, Any]:
    """Return who stands next to a carrier as an answer's JSON has it."""
    return {
        "id": one.id,
        "carrier_hz": one.carrier_hz,
        "side": one.side,
        "gap_khz": khz_number(one.gap_hz),
        "limit_khz": khz_number(one.limit_hz),
    }
