"""Acts and stages: which carriers of two acts are on the air at one time, and how far the stages are apart."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING, Any, NamedTuple

from planlint.plan.model import Act, Plan, Range
from planlint.plan.quantity import to_hz

if TYPE_CHECKING:
    from planlint.facts import Facts


class Meeting(NamedTuple):
    """Two carriers of two acts whose times on the air overlap, [from_min, to_min); `to_min` None: no end is written."""

    first: Act
    second: Act
    ours: str
    theirs: str
    from_min: int
    to_min: int | None


def overlap(first: Act, second: Act) -> tuple[int, int | None] | None:
    """Return from when to when two acts are both on the air; None where they are not, or a beginning is unwritten.

    An act without an end is on for good.
    """
    if first.on_min is None or second.on_min is None:
        return None
    start = max(first.on_min, second.on_min)
    ends = [act.end_min for act in (first, second) if act.end_min is not None]
    end = min(ends, default=None)
    return None if end is not None and end <= start else (start, end)


def meetings(plan: Plan, facts: Facts) -> Iterator[Meeting]:
    """Yield each two carriers of two acts that are on the air at one time, by act and id."""
    for first, second in combinations(plan.acts, 2):
        both = overlap(first, second)
        for ours in first.holds if both else ():
            for theirs in second.holds:
                if both and ours != theirs and ours in facts.carriers and theirs in facts.carriers:
                    yield Meeting(first, second, ours, theirs, *both)


def same_stage(first: Act, second: Act) -> bool:
    """Say whether two acts share a stage; where it is unwritten, they are taken to."""
    return first.stage is None or second.stage is None or first.stage == second.stage


def apart_m(plan: Plan, first: str, second: str) -> float | None:
    """Return the distance of two stages in m, whichever of them writes it, or None."""
    for one, other in ((first, second), (second, first)):
        written = _stage(plan, one).get("apart_m", {}).get(other)
        if written is not None:
            return float(written)
    return None


class Between(NamedTuple):
    """What lies between two stages: their written distance in m, and what walls take away in dB."""

    metres: float
    walls_db: float


def between(plan: Plan, first: str, second: str) -> Between | None:
    """Return what lies between two carriers of acts on different stages; None where that is not so, or no distance written.

    Of several such pairs of stages the nearest counts.
    """
    found = [
        Between(metres, walls_db(plan, one.stage, other.stage))
        for one in plan.acts
        for other in plan.acts
        if first in one.holds and second in other.holds and one.stage and other.stage and one.stage != other.stage
        and (metres := apart_m(plan, one.stage, other.stage)) is not None
    ]  # fmt: skip
    return min(found, default=None)


def walls_db(plan: Plan, first: str, second: str) -> float:
    """Return what walls between two stages take away in dB; unwritten, nothing."""
    return sum(float(_stage(plan, name).get("wall_db", 0)) for name in (first, second))


def blocks(written: object, at: str) -> list[tuple[Range, str]]:
    """Return allotted blocks in Hz with their pointers."""
    items = written if isinstance(written, list) else []
    return [
        (Range(to_hz(item["low"], "mhz"), to_hz(item["high"], "mhz")), f"{at}/{index}")
        for index, item in enumerate(items)
        if isinstance(item, dict) and {"low", "high"} <= item.keys()
    ]


def _stage(plan: Plan, name: str) -> dict[str, Any]:
    spec = plan.section("stages").get(name)
    return spec if isinstance(spec, dict) else {}
