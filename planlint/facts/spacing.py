"""How far two links must be apart: the contract's limit for each pair of kinds."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.limits import hertz
from planlint.plan.model import Link, Plan

if TYPE_CHECKING:
    from planlint.facts import Facts


class Near(NamedTuple):
    """Two carriers nearer than their limit, both in Hz."""

    gap_hz: int
    limit_hz: int


def limit_hz(plan: Plan, kinds: tuple[str | None, str | None], widths_hz: tuple[int, int]) -> int:
    """Return the least spacing in Hz of two carriers.

    Like kinds: the house's spacing, unwritten twice the wider emission. Any other pair: half the sum of both
    emissions.

    Args:
        plan: for its policy.
        kinds: what the two links are.
        widths_hz: their emissions.
    """
    first, second = kinds
    if first == second and first is not None:
        return hertz(plan, f"spacing_khz.{first}_to_{first}", max(widths_hz)).hz
    return sum(widths_hz) // 2


def like(link: Link) -> str | None:
    """Return the kind that the house's spacing counts a link as; a wide emission is like nothing else."""
    return None if link.wide_emission else link.kind


def too_close(plan: Plan, facts: Facts, first: str, second: str) -> Near | None:
    """Return the gap and limit of two links that are too near; None for equal carriers, which is another fault."""
    gap = abs(facts.carriers[first] - facts.carriers[second])
    kinds = (like(plan.links[first]), like(plan.links[second]))
    limit = limit_hz(plan, kinds, (facts.widths[first], facts.widths[second]))
    return Near(gap, limit) if 0 < gap < limit else None
