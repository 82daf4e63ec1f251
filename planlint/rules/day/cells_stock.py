"""Fewer cells in the cases than the shows still to come will take.

What goes wrong: the ninth show of twelve has no fresh cells and the shops are shut. Each cell swap of the day takes the
cells of the units it covers; a rechargeable one comes back for the next show, any other does not. Shows are this one and
the tour's later ones under the root.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    pack_defaults: {cells: alkaline}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day: [{what: cell swap, at: "18:30"}]
    ships: {cells-aa: 1}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {size: AA, count: 2}}}
    pack_defaults: {cells: alkaline}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day: [{what: cell swap, at: "18:30"}]
    ships: {cells-aa: 2}

A size of cell that `ships` does not name is not checked here: spare-cells says so.

Source: a count; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.cells import Need, cells_of, needs, ships_key
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, lacking_runners

RULE = Rule(severity="warning", group="margin", source="a count")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each size of cell of which there are fewer than the shows to come take."""
    yield from lacking_runners(plan)
    lacking = [f"/{section}" for section in ("ships", "day") if section not in plan.values]
    if plan.kind == "venue" and facts.siblings is None:
        lacking.append("/uses")
    if facts.siblings and plan.date is None:
        lacking.append("/show/date")
    if lacking:
        yield Unchecked(tuple(lacking))
        return
    runners = all_runners(plan)
    for runner in runners:
        cells = cells_of(runner)
        missing = [at for at, value in ((cells.size_at, cells.size), (cells.number_at, cells.number)) if value is None]
        missing += [] if runner.chemistry else [runner.chemistry_at]
        if missing:
            yield Unchecked(tuple(missing), (runner.device.id, runner.link.id))
    shows = 1 + sum(1 for other in facts.siblings or () if plan.date and other.date and other.date > plan.date)
    for need in needs(plan, runners):
        key = ships_key(need.size)
        if not need.changed:
            continue
        if key not in plan.section("ships"):
            yield Unchecked((f"/ships/{key}",), need.units)
        elif int(plan.section("ships")[key]) < need.over(shows):
            yield _fault(need, int(plan.section("ships")[key]), shows)


def _fault(need: Need, have: int, shows: int) -> Fault:
    run = "for tonight" if shows == 1 else f"to the end of {shows} shows"
    back = f", {need.rechargeable} of them rechargeable and back for the next show" if need.rechargeable else ""
    return Fault(
        f"/ships/{ships_key(need.size)}",
        f"{have} cells of size {need.size} in the cases, {need.over(shows)} needed {run}: each night changes {need.changed}{back}. Buy "
        f"{need.over(shows) - have} before you leave, or change fewer units in the swap.",
        need.units,
        {"cells": have, "needed": need.over(shows), "per_show": need.changed, "shows": shows},
    )
