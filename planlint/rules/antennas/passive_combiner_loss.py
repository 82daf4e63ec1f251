"""A passive combiner or splitter that is written with less loss than it can have.

What goes wrong: the plan counts on power that stays in the box. A passive combiner shares the power among its ways:
10 log10(ways), which is 3.0 dB for two, 6.0 for four and 9.0 for eight, and a real one loses about half a decibel
more.

Bad::

    plan_format: 1
    kind: plan
    models: {cmb-4: {role: combiner, active: false, ways: 4, loss_db: 0.5}}
    devices: {CMB-A: {model: cmb-4}}

Good::

    plan_format: 1
    kind: plan
    models: {cmb-4: {role: combiner, active: false, ways: 4, loss_db: 6.5}}
    devices: {CMB-A: {model: cmb-4}}

The ideal loss is taken rounded down to a tenth of a decibel, as data sheets print it. A combiner made of narrow
filters loses less than this and needs a waiver that says so.

Source: 10 log10(ways) (closed form; a matched divider shares its power equally); half a decibel beyond it is common
practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.route import plugged_in
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device, Model
from planlint.rf.decibel import db_to_ratio
from planlint.rf.splitter import TYPICAL_EXCESS_DB, split_loss_db
from planlint.rules.base import NoOptions, Rule
from planlint.rules.power_wording import milliwatts

RULE = Rule(severity="warning", group="margin", source="10 log10(ways), closed form", accept={"loss_db": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each model of passive combiner or splitter that loses too little."""
    boxes: dict[str, list[Device]] = {}
    for name in sorted(plan.devices):
        device = plan.devices[name]
        if device.model and device.model.role in {"combiner", "splitter"}:
            boxes.setdefault(device.model.id, []).append(device)
    if "devices" not in plan.values:
        yield Unchecked(("/devices",))
    for model_id in sorted(boxes):
        model = plan.models[model_id]
        if model.spec.get("active") is True:
            continue
        wanted = ("active",) if "active" not in model.spec else ("ways", "loss_db")
        lacking = [key for key in wanted if key not in model.spec]
        if lacking:
            yield Unchecked(tuple(f"{model.at}/{key}" for key in lacking), tuple(box.id for box in boxes[model_id]))
            continue
        least = math.floor(split_loss_db(int(model.spec["ways"])) * 10) / 10
        if float(model.spec["loss_db"]) < least:
            yield _fault(plan, model, boxes[model_id], least)


def _fault(plan: Plan, model: Model, boxes: list[Device], least: float) -> Fault:
    ways, loss = int(model.spec["ways"]), float(model.spec["loss_db"])
    real = least + TYPICAL_EXCESS_DB
    users = sorted({user for box in boxes for user in plugged_in(plan, box.id)})
    names = ", ".join(box.id for box in boxes)
    left = milliwatts(10 / db_to_ratio(real))
    return Fault(
        f"{model.at}/loss_db",
        f"{names}: a passive {ways}-way {model.role} loses at least {least:.1f} dB, written {loss:.1f}; a real one loses "
        f"about {real:.1f} dB, and 10 mW becomes {left} mW. Write the data sheet's loss, then look at power and range again "
        "for every unit on it, or use an active one.",
        (*(box.id for box in boxes), *users),
        {"loss_db": loss, "least_db": least, "ways": ways},
        tuple(Mark(box.at, f"{box.id} is one of these", key=True) for box in boxes),
    )
