"""Which spares to propose: beside the written spares of other kinds where so many fit, else beside the live set alone.

Two spares of a plan may be needed on one evening, an ear's and a microphone's. Asked for as many as fit, the live set
alone counts.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from planlint.assign.packing import with_other_spares
from planlint.assign.spares import Effort, Ladder, SpareSearch
from planlint.plan.model import Kind

if TYPE_CHECKING:
    from planlint.facts import Facts


def choose_spares(
    facts: Facts, kind: Kind, count: int | None, effort: Effort, progress: Callable[[int, int], None]
) -> Ladder:
    """Return so many spares of a kind, or as many as were found (all that fit for None).

    Args:
        facts: of the plan.
        kind: of link.
        count: how many.
        effort: what it may take; the first of two searches gets half of the seconds.
        progress: told how many there are so far and how many there can be.
    """
    start = time.monotonic()
    if count is not None and any(spare.kind != kind for spare in facts.plan.spares):
        half = effort._replace(seconds=effort.seconds / 2)
        found = SpareSearch(with_other_spares(facts, kind), kind, half, progress).run(count)
        if len(found.spares) == count or found.interrupted:
            return found._replace(beside_spares=True)
    left = max(effort.seconds - (time.monotonic() - start), 0.0)
    return SpareSearch(facts, kind, effort._replace(seconds=left), progress).run(count)
