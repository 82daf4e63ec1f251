"""Two chemistries of cells in one size.

What goes wrong: the swap bag holds rechargeable and alkaline cells of one size, and in the dark somebody fits one of
each: the pack dies as soon as the weaker one does, and a rechargeable one may be driven backwards. One size, one
chemistry, and nobody has to look.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    pack_defaults: {cells: nimh}
    devices: {PK-3: {model: pack-n}, PK-4: {model: pack-n}}
    links:
      ear-3: {kind: ear, packs: {PK-3: {}}}
      ear-4: {kind: ear, packs: {PK-4: {cells: alkaline}}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    pack_defaults: {cells: nimh}
    devices: {PK-3: {model: pack-n}, PK-4: {model: pack-n}}
    links:
      ear-3: {kind: ear, packs: {PK-3: {}}}
      ear-4: {kind: ear, packs: {PK-4: {}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.runtime import Runner
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, lacking_runners, named

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each size of cell with more than one chemistry, at the units of the rarer one."""
    yield from lacking_runners(plan)
    sizes: dict[str, dict[str, list[Runner]]] = {}
    for runner in all_runners(plan):
        model = runner.device.model
        size = model.spec.get("cells", {}).get("size") if model else None
        needs = [] if size else [f"{model.at}/cells/size" if model else f"{runner.device.at}/model"]
        needs += [] if runner.chemistry else [runner.chemistry_at]
        if needs:
            yield Unchecked(tuple(needs), (runner.device.id, runner.link.id))
        else:
            sizes.setdefault(str(size), {}).setdefault(str(runner.chemistry), []).append(runner)
    for size, by_chemistry in sorted(sizes.items()):
        usual = min(by_chemistry, key=lambda chemistry: (-len(by_chemistry[chemistry]), chemistry))
        for chemistry, units in sorted(by_chemistry.items()):
            if chemistry != usual:
                yield _fault(size, chemistry, units, usual, by_chemistry[usual])


def _fault(size: str, chemistry: str, units: list[Runner], usual: str, others: list[Runner]) -> Fault:
    first, other = units[0], others[0]
    return Fault(
        first.chemistry_at,
        f"{', '.join(named(unit) for unit in units)}: {size} cells of {chemistry}, while {named(other)}"
        f"{f' and {len(others) - 1} more' if len(others) > 1 else ''} take {usual} in the same size. Fit one kind, or keep two "
        "bags with names on them: one of each in a unit dies with the weaker.",
        tuple(sorted({name for unit in units for name in (unit.device.id, unit.link.id)})),
        {"size": size, "cells": chemistry, "other_cells": usual},
        (Mark(other.chemistry_at, f"{usual} here"),),
    )
