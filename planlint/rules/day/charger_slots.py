"""A charger that cannot fill tonight's cells before the packs go on tomorrow.

What goes wrong: 52 cells come off the belts at eleven, the charger takes sixteen at once and five hours for them, and the
last fill is ready after the packs are on. A day empties one set of every unit, and one for each cell swap; the time is
from the day's last `until` to the same `packs on` a day later.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    pack_defaults: {cells: nimh}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day:
      - {what: packs on, at: "10:00"}
      - {what: cell swap, at: "18:30"}
      - {what: show, at: "21:00", until: "23:00"}
    chargers: {bay: {size: AA, slots: 2, charge_h: 6}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    pack_defaults: {cells: nimh}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day:
      - {what: packs on, at: "10:00"}
      - {what: cell swap, at: "18:30"}
      - {what: show, at: "21:00", until: "23:00"}
    chargers: {bay: {size: AA, slots: 4, charge_h: 6}}

Several chargers of one size work side by side; somebody must be there to fill them again.

Source: a count; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.cells import RECHARGEABLE, cells_of, per_day
from planlint.facts.runtime import begins, ends, lacking
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import MINUTES_PER_DAY, clock
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, hours, lacking_runners

RULE = Rule(severity="warning", group="margin", source="a count")

_NEEDS = ("slots", "charge_h")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each size of cell that the chargers cannot fill in the time between two days."""
    yield from lacking_runners(plan)
    if "chargers" not in plan.values:
        yield Unchecked(("/chargers",))
        return
    chargers = plan.section("chargers")
    lacks = [
        f"/chargers/{escape(name)}/{key}" for name in sorted(chargers) for key in _NEEDS if key not in chargers[name]
    ]
    if lacks:
        yield Unchecked(tuple(lacks))
        return
    runners = [runner for runner in all_runners(plan) if runner.chemistry in RECHARGEABLE or runner.chemistry is None]
    for runner in runners:
        cells = cells_of(runner)
        missing = [at for at, value in ((cells.size_at, cells.size), (cells.number_at, cells.number)) if value is None]
        missing += [] if runner.chemistry else [runner.chemistry_at]
        if missing:
            yield Unchecked(tuple(missing), (runner.device.id, runner.link.id))
    sizes = sorted(
        {cells.size for runner in runners for cells in [cells_of(runner)] if cells.size and runner.chemistry}
    )
    start, end = begins(plan, "pack"), ends(plan)
    if sizes and (start is None or end is None):
        yield Unchecked(lacking(plan, "pack"))
        return
    for size in sizes:
        units = tuple(runner.device.id for runner in runners if cells_of(runner).size == size)
        cells_day = per_day(plan, runners, size)
        gap = (start or 0) + MINUTES_PER_DAY - (end or 0)
        if _filled(_of_size(plan, size), gap) < cells_day:
            yield _fault(plan, size, cells_day, gap, units)


def _of_size(plan: Plan, size: str) -> list[dict[str, Any]]:
    return [spec for spec in plan.section("chargers").values() if str(spec.get("size", size)).lower() == size.lower()]


def _filled(chargers: list[dict[str, Any]], gap_min: int) -> int:
    """Return how many cells the chargers fill in a time in minutes: whole fills only."""
    return sum(
        int(spec["slots"]) * max(0, int(Decimal(gap_min) // (Decimal(spec["charge_h"]) * 60))) for spec in chargers
    )


def _fault(plan: Plan, size: str, cells: int, gap: int, units: tuple[str, ...]) -> Fault:
    chargers = _of_size(plan, size)
    slots, filled = sum(int(spec["slots"]) for spec in chargers), _filled(chargers, gap)
    start = begins(plan, "pack") or 0
    return Fault(
        "/chargers",
        f"a day empties {cells} cells of size {size}; {slots} charger slot{'' if slots == 1 else 's'} fill{'s' if slots == 1 else ''} "
        f"{filled} of them in the {hours(gap)} h until packs on at {clock(start)} the next day. Take a second charger or another set "
        "of cells, or fit fresh ones from the shop in the first change.",
        units,
        {"cells": cells, "slots": slots, "filled": filled, "gap_h": round(gap / 60, 2)},
        key=True,
    )
