"""A setting that the unit's model does not have.

What goes wrong: the plan asks for a mode the unit cannot be put into; at the rack somebody sets what comes
nearest. Judged are `sends`, `decodes`, `ear_feed`, the limiter's range, the squelch list, and a link's `mode` at both
ends.

Bad::

    plan_format: 1
    kind: plan
    models:
      tx-m: {role: ear-transmitter, sends: [stereo, mono]}
      pack-m: {role: ear-pack, decodes: [stereo, mono], ear_feed: [stereo]}
    devices: {TX-7: {model: tx-m}, PK-7L: {model: pack-m}}
    links: {duo: {kind: ear, tx: TX-7, sends: stereo, packs: {PK-7L: {decodes: stereo, ear_feed: mono}}}}

Good::

    plan_format: 1
    kind: plan
    models:
      tx-m: {role: ear-transmitter, sends: [stereo, mono]}
      pack-m: {role: ear-pack, decodes: [stereo, mono], ear_feed: [stereo, mono]}
    devices: {TX-7: {model: tx-m}, PK-7L: {model: pack-m}}
    links: {duo: {kind: ear, tx: TX-7, sends: stereo, packs: {PK-7L: {decodes: stereo, ear_feed: mono}}}}

Source: the models' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.ends import ends
from planlint.facts.packs import Setting, ear_links, setting, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Model
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_packs, text, value

RULE = Rule(severity="error", group="link", source="the models' data sheets")

_PACK = ("decodes", "ear_feed", "limiter_db", "squelch")
#: Unwritten, these are asked for; the others are judged where they are set.
_ASKED = frozenset({"sends", "decodes", "ear_feed"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each setting of a transmitter or pack that its model does not list."""
    yield from lacking_packs(plan)
    for link in ear_links(plan):
        if link.tx is None:
            yield Unchecked((f"{link.at}/tx",), (link.id,))
        else:
            yield from _judge(plan, link, link.tx, "sends", Setting(link.sends, f"{link.at}/sends"))
    for name in sorted(plan.links):
        yield from _mode(plan, plan.links[name])
    for link, pack in worn(plan):
        for key in _PACK:
            yield from _judge(plan, link, pack.id, key, setting(plan, pack, key))


def _mode(plan: Plan, link: Link) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit of a link whose model does not have the link's mode."""
    mode = link.spec.get("mode")
    if mode is None or not link.used:
        return
    for end in ends(plan, link):
        if end.job == "listens":
            continue
        if end.model is None or "modes" not in end.model.spec:
            at = f"{end.model.at}/modes" if end.model else f"/devices/{escape(end.device)}/model"
            yield Unchecked((at,), (link.id, end.device))
        else:
            modes = dict.fromkeys(end.model.spec["modes"])
            yield from _judge_one(
                end.device, link, "mode", Setting(mode, f"{link.at}/mode"), end.model, list(modes), "modes"
            )


def _judge(plan: Plan, link: Link, name: str, key: str, found: Setting) -> Iterator[Fault | Unchecked]:
    device = plan.devices.get(name)
    model = device.model if device else None
    if found.value is None:
        if key in _ASKED:
            yield Unchecked((found.at,), (link.id, name))
    elif model is None:
        yield Unchecked((f"/devices/{escape(name)}/model",), (link.id, name))
    elif key not in model.spec:
        yield Unchecked((f"{model.at}/{key}",), (link.id, name))
    else:
        yield from _judge_one(name, link, key, found, model, model.spec[key], key)


def _judge_one(name: str, link: Link, key: str, found: Setting, model: Model, has: Any, has_at: str) -> Iterator[Fault]:
    if not _can(found.value, has):
        can = _says(has)
        yield Fault(
            found.at,
            f"{name} ({link.id}) is to be set to {key} {text(found.value)}, and its model {model.id} has {can}: it "
            "cannot be set so. Choose what it has and set the other end to match, or take another unit.",
            (link.id, name),
            {key: value(found.value), "model": model.id, "model_has": can},
            (Mark(f"{model.at}/{has_at}", f"what {model.id} has", key=True),),
        )


def _can(wanted: Any, has: Any) -> bool:
    if isinstance(has, dict):
        return wanted == "none" or bool(has["low"] <= wanted <= has["high"])
    return wanted in has


def _says(has: Any) -> str:
    if isinstance(has, dict):
        return f"{text(has['low'])} to {text(has['high'])}"
    return joined(text(item) for item in has) if has else "no such setting"
