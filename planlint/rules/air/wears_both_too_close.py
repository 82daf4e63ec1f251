"""One person wears a microphone's transmitter and an ear pack on carriers too near to each other.

What goes wrong: the belt pack transmits a hand's breadth from the ear pack that listens. Nothing in a hall is as strong
at that ear pack, and it goes deaf or chops whenever the person turns.

Bad::

    plan_format: 1
    kind: plan
    people: {gtr: {}}
    models: {body-m: {role: mic-transmitter, worn: body}}
    devices: {BP-3: {model: body-m}, TX-2: {}, PK-2: {}}
    links:
      ear-2: {kind: ear, tx: TX-2, carrier_mhz: 540.300, packs: {PK-2: {person: gtr}}}
      mic-3: {kind: mic, mic: BP-3, carrier_mhz: 545.300, person: gtr}

Good::

    plan_format: 1
    kind: plan
    people: {gtr: {}}
    models: {body-m: {role: mic-transmitter, worn: body}}
    devices: {BP-3: {model: body-m}, TX-2: {}, PK-2: {}}
    links:
      ear-2: {kind: ear, tx: TX-2, carrier_mhz: 540.300, packs: {PK-2: {person: gtr}}}
      mic-3: {kind: mic, mic: BP-3, carrier_mhz: 548.300, person: gtr}

The limit is `policy.spacing_khz.ear_to_mic`. The level printed is what is radiated less free-space loss over 0.3 m; the
body between the two may take some off, and a hand's breadth adds to it.

Source: common practice, no source; free-space loss by Recommendation ITU-R P.525-5.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.limits import hertz
from planlint.facts.packs import main_packs
from planlint.facts.power import sent
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rf.propagation import free_space_loss_db
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers, pairs

RULE = Rule(
    severity="error",
    group="link",
    source="common practice, no source",
    accept={"spacing_khz": "lower"},
    switch="spacing_khz.ear_to_mic",
)

_APART_M = 0.3


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person with a body-worn microphone and an ear pack too near in frequency."""
    yield from lacking_carriers(plan, facts)
    limit = hertz(plan, "spacing_khz.ear_to_mic", 0).hz
    for names in pairs(plan, facts, others=False, each=True):
        links = {plan.links[name].kind: plan.links[name] for name in names}
        gap = abs(facts.carriers[names[0]] - facts.carriers[names[1]])
        if set(links) == {"ear", "mic"} and 0 < gap < limit:
            yield from _judge(plan, facts, links["ear"], links["mic"], gap, limit)


def _judge(plan: Plan, facts: Facts, ear: Link, mic: Link, gap: int, limit: int) -> Iterator[Fault | Unchecked]:
    device = plan.devices.get(mic.tx) if mic.tx else None
    worn = device.model.spec.get("worn") if device and device.model else None
    if worn == "handheld":
        return
    needs = [] if worn else [_worn_at(plan, mic)]
    needs += [] if mic.person else [f"{mic.at}/person"]
    needs += [] if "packs" in ear.spec else [f"{ear.at}/packs"]
    packs = main_packs(ear)
    theirs = [pack for pack in packs if pack.person == mic.person or mic.person is None]
    needs += [f"{pack.at}/person" for pack in packs if pack.person is None]
    if mic.person and worn:
        for pack in theirs:
            yield _fault(plan, facts, ear, mic, pack, gap, limit)
    if needs and (theirs or any(pack.person is None for pack in packs) or "packs" not in ear.spec):
        yield Unchecked(tuple(needs), (ear.id, mic.id))


def _worn_at(plan: Plan, mic: Link) -> str:
    device = plan.devices.get(mic.tx) if mic.tx else None
    if device is None:
        return f"{mic.at}/mic" if mic.tx is None else f"/devices/{escape(mic.tx)}"
    return f"{device.model.at}/worn" if device.model else f"{device.at}/model"


def _fault(plan: Plan, facts: Facts, ear: Link, mic: Link, pack: Pack, gap: int, limit: int) -> Fault:
    numbers: dict[str, Value] = {"spacing_khz": khz_number(gap), "limit_khz": khz_number(limit)}
    levels = sent(plan, facts, mic).levels
    arrives = ""
    if levels and math.isfinite(levels.eirp.low):
        level = levels.eirp.low - free_space_loss_db(_APART_M, facts.carriers[mic.id])
        numbers["level_dbm"] = round(level, 1)
        arrives = f", which arrives there at about {level:.0f} dBm over {_APART_M} m"
    return Fault(
        facts.carrier_at(mic.id),
        f"{mic.person} wears {pack.id} ({ear.id} {mhz(facts.carriers[ear.id])}) and {mic.tx} ({mic.id} "
        f"{mhz(facts.carriers[mic.id])}) {khz(gap)} kHz from it{arrives}; limit {khz(limit)} kHz, or the ear pack goes deaf. "
        f"Move {mic.id} (transmitter and receiver) or {ear.id} (transmitter and packs), and wear them on opposite hips.",
        (ear.id, mic.id, pack.id, str(mic.tx)),
        numbers,
        (Mark(facts.carrier_at(ear.id), f"{ear.id} {mhz(facts.carriers[ear.id])}"),),
        rank=gap,
    )
