"""A gauge that is set to other cells than are fitted.

What goes wrong: set to alkaline and holding rechargeable cells, a gauge reads low and then collapses without warning;
lithium cells on an alkaline scale read full until they die.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-3: {gauge: alkaline}}
    links: {ear-3: {kind: ear, packs: {PK-3: {cells: nimh}}}}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-3: {gauge: nimh}}
    links: {ear-3: {kind: ear, packs: {PK-3: {cells: nimh}}}}

Source: the cells' different discharge curves; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, lacking_runners, named

RULE = Rule(severity="warning", group="link", source="common practice, no source")

_READS = {
    ("alkaline", "nimh"): "it reads low, then collapses without warning",
    ("alkaline", "lithium"): "it reads full until they die",
    ("nimh", "alkaline"): "it reads full too long",
    ("nimh", "lithium"): "it reads full until they die",
}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit whose gauge is set to another chemistry than its cells."""
    yield from lacking_runners(plan)
    for runner in all_runners(plan):
        device, ids = runner.device, (runner.device.id, runner.link.id)
        gauge = device.spec.get("gauge")
        needs = [] if gauge is not None else [f"{device.at}/gauge"]
        needs += [] if runner.chemistry is not None else [runner.chemistry_at]
        if needs:
            yield Unchecked(tuple(needs), ids)
        elif gauge != runner.chemistry:
            reads = _READS.get((str(gauge), str(runner.chemistry)), "its bars mean nothing")
            yield Fault(
                f"{device.at}/gauge",
                f"{named(runner)}: the gauge is set to {gauge}, {runner.chemistry} cells are fitted: {reads}. Set it to what it "
                "holds, and its spare too.",
                ids,
                {"gauge": str(gauge), "cells": str(runner.chemistry)},
                (Mark(runner.chemistry_at, f"{runner.chemistry} is fitted"),),
            )
