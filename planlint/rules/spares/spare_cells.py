"""No cells of a size that units need.

What goes wrong: everything runs on AA, and the cases hold AAA. The list of what is shipped names the cells of each size
that units with cells use tonight: `cells-aa`, `cells-aaa`. Whether they are enough is said by cells-stock.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    ships: {cells-aaa: 24}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    ships: {cells-aa: 24}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.cells import cells_of, ships_key
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, lacking_runners
from planlint.rules.packs import joined

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each size of cell that units use and the cases do not hold."""
    yield from lacking_runners(plan)
    if "ships" not in plan.values:
        yield Unchecked(("/ships",))
        return
    using: dict[str, list[str]] = {}
    for runner in all_runners(plan):
        cells = cells_of(runner)
        if cells.size is None:
            yield Unchecked((cells.size_at,), (runner.device.id, runner.link.id))
        else:
            using.setdefault(cells.size, []).append(runner.device.id)
    for size in sorted(using):
        if ships_key(size) not in plan.section("ships"):
            units = using[size]
            yield Fault(
                "/ships",
                f"no cells of size {size} in the cases, and {joined(units)} {'runs' if len(units) == 1 else 'run'} on them. Put some in "
                f"the box at the side of the stage, and write {ships_key(size)}.",
                tuple(units),
                {"size": size, "units": len(units)},
                key=True,
            )
