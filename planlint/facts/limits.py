"""The house's limits: what `policy` writes, else what the table of defaults derives from the emission width."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, NamedTuple

from planlint.plan.model import Plan
from planlint.plan.quantity import to_hz
from planlint.schema.store import defaults

Number = int | Decimal


class Limit(NamedTuple):
    """A limit in Hz, and whether the plan writes it."""

    hz: int
    written: bool


def written(plan: Plan, path: str) -> Any:
    """Return what `policy` writes at a dotted path, or None."""
    node: Any = plan.section("policy")
    for part in path.split("."):
        node = node.get(part) if isinstance(node, dict) else None
    return node


def number(plan: Plan, path: str) -> float:
    """Return a fixed house limit in the unit of its key: as written, else from the table of defaults."""
    value = written(plan, path)
    return float(defaults()["defaults"][f"policy.{path}"]["value"] if value is None else value)


def hertz(plan: Plan, path: str, widest_hz: int) -> Limit:
    """Return a limit given in kHz as integer Hz.

    Args:
        plan: the plan.
        path: dotted path below `policy`, ending in a key or map that counts in kHz.
        widest_hz: the widest emission among the ids concerned, for a default that is derived from it.
    """
    value = written(plan, path)
    if value is not None:
        return Limit(to_hz(value, "khz"), written=True)
    row = defaults()["defaults"][f"policy.{path}"]
    if "times_widest_emission" in row:
        return Limit(int(Decimal(str(row["times_widest_emission"])) * widest_hz), written=False)
    return Limit(to_hz(Decimal(str(row["value"])), "khz"), written=False)


def switched_off(plan: Plan, path: str) -> bool:
    """Say whether a limit is 0, as the plan writes it or by default."""
    return hertz(plan, path, 1_000_000).hz == 0


def widest(widths: Iterable[int], fallback: int) -> int:
    """Return the widest of some emissions in Hz."""
    return max(widths, default=fallback)
