"""A desk that can give more than the transmitter's input takes at its gain setting.

What goes wrong: the input clips on the loudest bar, before any limiter sees it, and clipping is loud in the ears. The
highest level the desk can give, less a pad, belongs at or below what the input takes.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-m: {role: ear-transmitter, input_max_dbu: 20, input_gain_db: {low: 0, high: 12}}}
    devices: {TX-1: {model: tx-m}}
    mixes: {vox: {width: stereo, desk_max_dbu: 22}}
    links: {vox: {kind: ear, tx: TX-1, input_gain_db: 6, feed: {stereo: vox}}}

Good::

    plan_format: 1
    kind: plan
    models: {tx-m: {role: ear-transmitter, input_max_dbu: 20, input_gain_db: {low: 0, high: 12}}}
    devices: {TX-1: {model: tx-m}}
    mixes: {vox: {width: stereo, desk_max_dbu: 22, pad_db: 10}}
    links: {vox: {kind: ear, tx: TX-1, input_gain_db: 6, feed: {stereo: vox}}}

`input_max_dbu` holds at the lowest setting of the model's `input_gain_db`; each decibel above that takes one away.
An unwritten pad is none.

Source: the desk's and the transmitter's data sheets, as the plan copies them; levels in dBu add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.mixes import Carried, carried
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Model
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_feeds, text, value

RULE = Rule(severity="warning", group="hearing", source="the data sheets", accept={"over_db": "higher"})

_PRECISION_DB = 1e-9


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each mix whose desk can overdrive the transmitter it is fed to."""
    yield from lacking_feeds(plan)
    for fed in carried(plan):
        device = plan.devices.get(fed.link.tx) if fed.link.tx else None
        subjects = (fed.link.id, *((fed.link.tx,) if fed.link.tx else ()))
        mix, model = plan.section("mixes").get(fed.mix, {}), device.model if device else None
        needs = [] if "desk_max_dbu" in mix else [f"/mixes/{escape(fed.mix)}/desk_max_dbu"]
        if model is None:
            needs.append(f"/devices/{escape(fed.link.tx)}/model" if fed.link.tx else f"{fed.link.at}/tx")
        elif "input_max_dbu" not in model.spec:
            needs.append(f"{model.at}/input_max_dbu")
        if needs or model is None:
            yield Unchecked(tuple(needs), subjects)
            continue
        hot = float(mix["desk_max_dbu"]) - float(mix.get("pad_db", 0))
        taken, unwritten = _takes(fed, model)
        if hot > taken + _PRECISION_DB:
            yield _fault(fed, model, subjects, hot, taken)
        elif unwritten:
            yield Unchecked(unwritten, subjects)


def _takes(fed: Carried, model: Model) -> tuple[float, tuple[str, ...]]:
    """Return the most in dBu that an input takes at its setting, and what is missing for more than an upper bound."""
    most, gain, settings = float(model.spec["input_max_dbu"]), fed.link.spec.get("input_gain_db"), "input_gain_db"
    needs = [] if gain is not None else [f"{fed.link.at}/input_gain_db"]
    needs += [] if settings in model.spec else [f"{model.at}/{settings}"]
    if needs or gain is None:
        return most, tuple(needs)
    return most - max(float(gain) - float(model.spec[settings]["low"]), 0.0), ()


def _fault(fed: Carried, model: Model, subjects: tuple[str, ...], hot: float, taken: float) -> Fault:
    over, gain = hot - taken, fed.link.spec.get("input_gain_db")
    at_setting = "" if gain is None else f" at {text(gain)} dB input gain"
    numbers: dict[str, Value] = {"desk_dbu": value(hot), "input_dbu": value(taken), "over_db": value(round(over, 2))}
    return Fault(
        f"{fed.link.at}/input_gain_db" if gain is not None else fed.at,
        f"{fed.link.id}: the desk reaches {text(hot)} dBu on mix {fed.mix}, {fed.link.tx} takes {text(taken)} dBu{at_setting}: "
        f"{text(over)} dB too hot, and it clips in the ears. {_remedy(fed, model, over)} Packs at minimum "
        "until it is done.",
        subjects,
        numbers,
        (
            Mark(f"/mixes/{escape(fed.mix)}/desk_max_dbu", f"the desk's highest level on {fed.mix}"),
            Mark(f"{model.at}/input_max_dbu", f"{model.id} takes this at its least sensitive setting"),
        ),
    )


def _remedy(fed: Carried, model: Model, over: float) -> str:
    gain, settings = fed.link.spec.get("input_gain_db"), model.spec.get("input_gain_db")
    if gain is not None and settings is not None and float(gain) - over >= float(settings["low"]) - _PRECISION_DB:
        return f"Turn the input of {fed.link.tx} down {text(over)} dB, to {text(float(gain) - over)} dB, or the desk's output."
    return f"Turn the desk's output down {text(over)} dB, or put a pad of {math.ceil(over - _PRECISION_DB)} dB or more in the line."
