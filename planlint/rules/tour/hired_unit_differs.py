"""A hired unit that cannot do what the planned one can.

What goes wrong: the hire firm sends the same name with another band or another step, and the carrier, the user
groups and the settings of the planned unit do not fit. What differs is named, so that somebody enters it by hand.

Bad::

    plan_format: 1
    kind: plan
    models:
      pack-n: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
      pack-h: {role: ear-pack, tuning_mhz: [{low: 518.000, high: 590.000}], step_khz: 100}
    devices: {PK-3: {model: pack-n}}
    links: {ear-3: {kind: ear, packs: {PK-3: {}}}}
    hired: {PK-3: {model: pack-h, because: ours is at the shop}}

Good::

    plan_format: 1
    kind: plan
    models:
      pack-n: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
      pack-m: {role: ear-pack, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
    devices: {PK-3: {model: pack-n}}
    links: {ear-3: {kind: ear, packs: {PK-3: {}}}}
    hired: {PK-3: {model: pack-m, because: ours is at the shop}}

Source: the models' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device, Model
from planlint.plan.quantity import khz, mhz
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="link", source="the models' data sheets")

#: Keys that both types must write for the comparison to mean something.
_WANTED = ("tuning_mhz", "step_khz")
#: Keys compared besides, and how a message words each.
_COMPARED = {
    "role": "role",
    "emission_khz": "emission in kHz",
    "powers_mw": "powers in mW",
    "power_basis": "power basis",
    "sends": "sends",
    "decodes": "decodes",
    "ear_feed": "ear feed",
    "groups": "user groups",
    "squelch": "squelch settings",
    "limiter_db": "limiter in dB",
    "max_output_dbv": "highest output in dBV",
    "family": "family",
}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each hired unit whose type differs from the planned one's."""
    for name in sorted(plan.devices):
        device = plan.devices[name]
        if not device.hired:
            continue
        at = f"/hired/{escape(name)}/model"
        planned, tonight = device.planned_model, device.model
        if planned is None or tonight is None:
            yield Unchecked((at if tonight is None else f"{device.at}/model",), (name,))
            continue
        lacking = tuple(f"{model.at}/{key}" for model in (planned, tonight) for key in _WANTED if key not in model.spec)
        if lacking and planned.id != tonight.id:
            yield Unchecked(lacking, (name,))
        differs = list(_differences(planned, tonight))
        if differs:
            yield _fault(plan, device, at, planned, tonight, differs)


def _fault(plan: Plan, device: Device, at: str, planned: Model, tonight: Model, differs: list[str]) -> Fault:
    subjects = with_links(plan, [device.id])
    links = [name for name in subjects if name in plan.links]
    on = f" on {', '.join(links)}" if links else ""
    return Fault(
        at,
        f"{device.id} is a {tonight.id} tonight, not a {planned.id}: {'; '.join(differs)}. Enter carrier and settings by hand"
        f"{on}, compare them with the other end, and store its user groups again.",
        subjects,
        {"planned": planned.id, "tonight": tonight.id, "differs": "; ".join(differs)},
        (Mark(f"{device.at}/model", f"planned as {planned.id}"),),
    )


def _differences(planned: Model, tonight: Model) -> Iterator[str]:
    """Yield in words what differs; what one of the two does not write is not compared."""
    if planned.tuning and tonight.tuning and set(planned.tuning) != set(tonight.tuning):
        yield f"tunes {_ranges(tonight)} instead of {_ranges(planned)}"
    if planned.step_hz and tonight.step_hz and planned.step_hz != tonight.step_hz:
        yield f"steps of {khz(tonight.step_hz)} kHz instead of {khz(planned.step_hz)}"
    for key, words in _COMPARED.items():
        ours, theirs = planned.spec.get(key), tonight.spec.get(key)
        if ours is not None and theirs is not None and _plain(key, ours) != _plain(key, theirs):
            yield f"{words} {_shown(theirs)} instead of {_shown(ours)}"


def _ranges(model: Model) -> str:
    return " and ".join(f"{mhz(part.low_hz)}-{mhz(part.high_hz)}" for part in sorted(model.tuning))


def _plain(key: str, value: Any) -> Any:
    """Return a value for comparison: order means nothing in a list, save in the squelch settings."""
    return sorted(value, key=str) if isinstance(value, list) and key != "squelch" else value


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return f"{value.get('low')} to {value.get('high')}"
    return ", ".join(str(item) for item in value) if isinstance(value, list) else str(value)
