"""How many cells units take, what the cases hold of them, and how many are needed.

A rechargeable cell comes back from the charger for the next show; any other is gone when it is changed.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from planlint.facts.runtime import Runner, swaps_of
from planlint.plan.model import Plan

RECHARGEABLE = frozenset({"nimh"})


class Cells(NamedTuple):
    """The cells of one unit; None where the model does not say."""

    size: str | None
    number: int | None
    size_at: str
    number_at: str


class Need(NamedTuple):
    """What one show takes of one size: cells changed, of which rechargeable, and the units that take them."""

    size: str
    changed: int
    rechargeable: int
    units: tuple[str, ...]

    def over(self, shows: int) -> int:
        """Return how many cells a number of shows takes; rechargeable ones once."""
        return self.rechargeable + (self.changed - self.rechargeable) * shows


def cells_of(runner: Runner) -> Cells:
    """Return size and number of the cells in a unit, and where they are written or belong."""
    model = runner.device.model
    spec = model.spec.get("cells", {}) if model else {}
    at = f"{model.at}/cells" if model else f"{runner.device.at}/model"
    size, number = spec.get("size"), spec.get("count")
    return Cells(
        None if size is None else str(size),
        None if number is None else int(number),
        f"{at}/size" if model else at,
        f"{at}/count" if model else at,
    )


def ships_key(size: str) -> str:
    """Return what `ships` calls cells of a size: `cells-aa`."""
    return f"cells-{size.lower()}"


def needs(plan: Plan, runners: Iterable[Runner]) -> list[Need]:
    """Return what the day's cell swaps take, by size; units whose cells are not known are left out."""
    by_size: dict[str, list[tuple[str, int, bool]]] = {}
    for runner in runners:
        cells = cells_of(runner)
        if cells.size is not None and cells.number is not None:
            changes = len(swaps_of(plan, runner.device.id, runner.job))
            entry = (runner.device.id, cells.number * changes, runner.chemistry in RECHARGEABLE)
            by_size.setdefault(cells.size, []).append(entry)
    return [
        Need(
            size,
            sum(count for _, count, _ in by_size[size]),
            sum(count for _, count, again in by_size[size] if again),
            tuple(sorted(unit for unit, count, _ in by_size[size] if count)),
        )
        for size in sorted(by_size)
    ]


def per_day(plan: Plan, runners: Iterable[Runner], size: str) -> int:
    """Return how many rechargeable cells of a size a day empties: one set for each unit, and one for each change."""
    return sum(
        (cells.number or 0) * (1 + len(swaps_of(plan, runner.device.id, runner.job)))
        for runner in runners
        for cells in [cells_of(runner)]
        if cells.size == size and runner.chemistry in RECHARGEABLE
    )
