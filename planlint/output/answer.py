"""What answers to one question share: the last line, and the JSON text."""

from __future__ import annotations

import json
from typing import Any

LAST = "This says what was searched and found, no more."


def dump(document: dict[str, Any]) -> str:
    """Return a document as JSON text."""
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"
