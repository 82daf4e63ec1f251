"""How many more links fit tonight, and the tour's venues side by side."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial
from typing import NamedTuple

from planlint.assign.capacity import Room, room
from planlint.assign.tour_matrix import Matrix, matrix
from planlint.assign.tour_nights import Night, in_order
from planlint.engine.check import siblings
from planlint.engine.propose import Opened, findings_of
from planlint.facts import Facts
from planlint.facts.scan_file import ScanFiles
from planlint.plan.model import Kind, Plan

#: Share of the time that the tour may take, where there is one; it comes first, and the count gets what it leaves.
_TOUR = 0.4
_INTERRUPTED = "it was interrupted before anything was found"
KINDS: tuple[Kind, ...] = ("ear", "mic", "comms", "other")


class Capacity(NamedTuple):
    """The answer: `rooms` kind by kind, and the tour's matrix, or why there is none."""

    rooms: tuple[Room, ...]
    tour: Matrix | None
    no_tour: str | None


def capacity(
    opened: Opened,
    kinds: tuple[Kind, ...],
    *,
    seconds: float,
    seed: int = 0,
    workers: int = 1,
    progress: Callable[[str], None] = lambda _: None,
) -> Capacity:
    """Count what fits, and lay the tour's venues side by side.

    Args:
        opened: the plan.
        kinds: of link to count; empty: those the plan has.
        seconds: how long to search in all.
        seed: of the searches.
        workers: processes that share the counting.
        progress: told what is going on.
    """
    facts = opened.facts
    found = {link.kind for link in facts.plan.links.values() if link.used}
    wanted = kinds or tuple(kind for kind in KINDS if kind in found) or ("ear", "mic")
    others = facts.siblings
    no_tour = _why_no_tour(facts)
    start = time.monotonic()
    tour: Matrix | None = None
    if not no_tour and others:
        try:
            nights = _nights(opened, others)
            tour = matrix(in_order(nights), nights[0], seconds * _TOUR, seed, progress)
        except KeyboardInterrupt:
            no_tour = _INTERRUPTED
    end = max(start + seconds, time.monotonic() + seconds * (1 - _TOUR))
    stopped = no_tour == _INTERRUPTED or (tour is not None and tour.interrupted)
    rooms: list[Room] = []
    for at, kind in enumerate(wanted):
        share = 0.0 if stopped else max(end - time.monotonic(), 0.0) / (len(wanted) - at)
        rooms.append(room(facts, kind, share, seed=seed, workers=workers, progress=progress))
        stopped = stopped or rooms[-1].interrupted
    return Capacity(tuple(rooms), tour, no_tour)


def _nights(opened: Opened, others: tuple[Plan, ...]) -> list[Night]:
    """Return the plan's own night, then those of the tour's other venues."""
    nights = [Night(opened.facts, tuple(_accepted(opened)))]
    for plan in others:
        resolved = opened.shelf.resolved(plan.file)
        there = Facts(plan, partial(siblings, opened.shelf, plan), ScanFiles(opened.shelf.root))
        nights.append(Night(there, tuple(_accepted(opened._replace(file=plan.file, resolved=resolved, facts=there)))))
    return nights


def _why_no_tour(facts: Facts) -> str | None:
    if facts.plan.kind != "venue":
        return "a plan file stands alone: a tour has a tour file and a venue file for each show"
    if facts.siblings is None:
        return "not every venue file of the tour under the root can be read"
    if not facts.siblings:
        return "the tour has one venue under the root"
    return None


def _accepted(opened: Opened) -> Iterator[tuple[str, frozenset[str]]]:
    """Yield what is accepted where it stands, as for a proposal: waived, or a note with a reckoned C/I."""
    for finding in findings_of(opened, opened.resolved.values):
        if finding.waived is not None or (finding.severity == "note" and "ci_db" in finding.values):
            yield finding.rule, frozenset(finding.subjects)
