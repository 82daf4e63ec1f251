"""Cells that do not last from one change to the next.

What goes wrong: the pack goes on at half past three and its cells end in the second song. Packs run from `packs on`,
microphones from `sound check`, to the last `until`; a cell swap covers the packs unless its `units` says otherwise. Only
80 % of the written run time are counted on.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {run_h: {nimh: 8.0}}}}
    pack_defaults: {cells: nimh}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day:
      - {what: packs on, at: "15:30"}
      - {what: show, at: "21:10", until: "22:45"}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, cells: {run_h: {nimh: 8.0}}}}
    pack_defaults: {cells: nimh}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day:
      - {what: packs on, at: "15:30"}
      - {what: cell swap, at: "18:30"}
      - {what: show, at: "21:10", until: "22:45"}

Source: the run time is the model's; 80 % is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from planlint.facts import Facts
from planlint.facts.runtime import PLANNED_SHARE, Runner, lacking, run
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import clock
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, hours, lacking_runners, named

RULE = Rule(
    severity="error",
    group="link",
    source="the models' run times; common practice, no source",
    accept={"on_h": "higher"},
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack and microphone whose longest stretch is longer than its cells are counted on."""
    yield from lacking_runners(plan)
    for runner in all_runners(plan):
        needs = (*runner.run_needs, *lacking(plan, runner.job))
        cells_h, times = runner.run_h, run(plan, runner.device.id, runner.job)
        if needs or cells_h is None or times is None:
            yield Unchecked(needs, (runner.device.id, runner.link.id))
            continue
        start, end = times.longest
        if end - start > cells_h * PLANNED_SHARE * 60:
            yield _fault(runner, start, end, cells_h, len(times.swaps_min))


def _fault(runner: Runner, start: int, end: int, cells_h: Decimal, swaps: int) -> Fault:
    assert runner.device.model is not None
    counted = cells_h * PLANNED_SHARE
    stretch = "on one set" if swaps == 0 else f"on one set, with {swaps} swap{'s' * (swaps > 1)} in the day,"
    return Fault(
        runner.at,
        f"{named(runner)}: {clock(start)}-{clock(end)} {stretch} is {hours(end - start)} h; its {runner.chemistry} cells give "
        f"{cells_h:f} h, of which {counted.normalize():f} h are counted on. Put a cell swap in between"
        f"{' that names it' if runner.job == 'microphone' else ''}, or switch it on later.",
        (runner.device.id, runner.link.id),
        {"on_h": round((end - start) / 60, 2), "cells_h": float(cells_h), "counted_h": float(counted)},
        (
            Mark(f"{runner.device.model.at}/cells/run_h/{runner.chemistry}", "its cells' run time"),
            Mark("/day", "the day"),
        ),
        key=runner.job == "pack",
        rank=-float(end - start - counted * 60),
    )
