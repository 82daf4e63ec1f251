"""Earphones whose lead is no antenna, on a pack that takes the lead for its second one.

What goes wrong: the pack was made to hear with two branches, its whip and the earphones' lead. With another maker's
lead, a short one or a filtered one, it has one branch: dropouts come where the whip alone is in a hole.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, antennas: [whip, ear-lead]}}
    people: {drums: {ears: short}}
    earphones: {short: {lead_is_antenna: false}}
    devices: {TX-5: {}, PK-5: {model: pack-m}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {person: drums}}}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, antennas: [whip, ear-lead]}}
    people: {drums: {ears: moulded}}
    earphones: {moulded: {lead_is_antenna: true}}
    devices: {TX-5: {}, PK-5: {model: pack-m}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {person: drums}}}}

Source: Rayleigh fading, closed form: for 1 % outage one branch needs 20.0 dB of margin, the better of two 9.8 dB (see
`planlint.rf.fading`); that a lead serves as antenna: the pack's data sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.ears import Earphones, earphones
from planlint.facts.packs import worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Model, Pack
from planlint.rf.fading import rayleigh_margin_db
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_packs, named, subjects

RULE = Rule(severity="warning", group="margin", source="Rayleigh fading, closed form")

_OUTAGE = 0.01


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack, spares included, that loses an antenna to the earphones its wearer has."""
    yield from lacking_packs(plan)
    for link, pack in worn(plan):
        device = plan.devices.get(pack.id)
        model = device.model if device else None
        own = model.spec.get("antennas") if model else None
        found = earphones(plan, link, pack)
        if found is None or (own is not None and "ear-lead" not in own):
            continue
        lead = found.spec.get("lead_is_antenna") if isinstance(found, Earphones) else None
        if lead is True:
            continue
        needs = [] if model else [f"/devices/{escape(pack.id)}/model"]
        needs += [f"{model.at}/antennas"] if model and own is None else []
        needs += [] if isinstance(found, Earphones) else list(found)
        needs += [f"{found.at}/lead_is_antenna"] if isinstance(found, Earphones) and lead is None else []
        if needs or model is None or not isinstance(found, Earphones):
            yield Unchecked(tuple(needs), subjects(link, pack))
        else:
            yield _fault(link, pack, model, found)


def _fault(link: Link, pack: Pack, model: Model, found: Earphones) -> Fault:
    more = rayleigh_margin_db(_OUTAGE, 1) - rayleigh_margin_db(_OUTAGE, 2)
    alone = len(model.spec["antennas"]) == 1
    without = (
        f"and {pack.id} has no other: it hears next to nothing"
        if alone
        else f"so {pack.id} hears with one branch: for no more than 1 % of dropouts it needs about {more:.0f} dB more level"
    )
    return Fault(
        f"{found.at}/lead_is_antenna",
        f"{named(pack)} takes the earphones' lead as an antenna; the lead of {found.id} is none, {without}. Give "
        f"{found.person} earphones or a lead that works as one, or walk the far spots with {pack.id} before doors.",
        subjects(link, pack),
        {"earphones": found.id, "more_margin_db": round(more, 1)},
        (Mark(f"{model.at}/antennas", f"{model.id} uses the lead"),),
    )
