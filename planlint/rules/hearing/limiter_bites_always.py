"""A pack whose limiter is at the lowest setting of its model.

What goes wrong: the limiter works all the time instead of catching what should not have happened; the mix pumps, and
people turn up or take an ear out. The level belongs down before the limiter: the send at the desk, or the pack's
gain. Whoever wears the pack decides, knowing what it is for.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, limiter_db: {low: -27, high: 0}}}
    devices: {TX-5: {}, PK-5: {model: pack-m}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {limiter_db: -27}}}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, limiter_db: {low: -27, high: 0}}}
    devices: {TX-5: {}, PK-5: {model: pack-m}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {limiter_db: -21}}}}

Raising a limiter is no remedy by itself: it lets more through to the ear, see `ear-ceiling-high`.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.packs import Setting, setting, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Model, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_packs, named, sender, subjects, text, value, who

RULE = Rule(severity="note", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack whose limiter stands at its model's lowest setting."""
    yield from lacking_packs(plan)
    for link, pack in worn(plan):
        limiter = setting(plan, pack, "limiter_db")
        if limiter.value is None:
            yield Unchecked((limiter.at,), subjects(link, pack))
        elif limiter.value != "none":
            device = plan.devices.get(pack.id)
            model = device.model if device else None
            if model is None:
                yield Unchecked((f"/devices/{escape(pack.id)}/model",), subjects(link, pack))
            elif "limiter_db" not in model.spec:
                yield Unchecked((f"{model.at}/limiter_db",), subjects(link, pack))
            elif limiter.value == model.spec["limiter_db"]["low"]:
                yield _fault(link, pack, limiter, model)


def _fault(link: Link, pack: Pack, limiter: Setting, model: Model) -> Fault:
    return Fault(
        f"{pack.at}/limiter_db",
        f"{named(pack)}: limiter {text(limiter.value)} dB is the lowest of {model.id}; with a full mix it works all the time "
        f"and the mix pumps. Bring the send to {sender(link)} or the gain of {pack.id} down first, and ask {who(pack)} "
        "before the limiter changes: it is there for what nobody expects.",
        subjects(link, pack),
        {"limiter_db": value(limiter.value)},
        (*house_mark(limiter), Mark(f"{model.at}/limiter_db/low", f"{model.id} goes no lower")),
    )
