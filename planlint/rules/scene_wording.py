"""What the rules about scenes share: what is missing."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Unchecked
from planlint.plan import Plan


def lacking_scenes(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where no scenes are written, or no links."""
    if "scenes" not in plan.values:
        yield Unchecked(("/scenes",))
    if not plan.links:
        yield Unchecked(("/links",))
