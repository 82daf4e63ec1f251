"""A cable that eats more than 5 dB, or more than its antenna gains.

What goes wrong: thin cable is carried because it is light, and thirty metres of it throw away nine tenths of the power
that was paid for, in both directions. A shorter or thicker one is a cheap cure.

Bad::

    plan_format: 1
    kind: plan
    devices: {RX-1: {into: mic-a}}
    antennas: {mic-a: {for: mic, gain_dbi: 6, coax: {kind: rg-58, length_m: 30}}}
    links: {hand: {kind: mic, rx: RX-1, carrier_mhz: 560.000}}

Good::

    plan_format: 1
    kind: plan
    devices: {RX-1: {into: mic-a}}
    antennas: {mic-a: {for: mic, gain_dbi: 6, coax: {kind: low-loss-10mm, length_m: 30}}}
    links: {hand: {kind: mic, rx: RX-1, carrier_mhz: 560.000}}

`loss_db` counts as written; without it the loss is that of the kind and length at the highest carrier on the antenna,
and where that decides only within the spread between makes, nothing is judged. An amplifier at the antenna
(`amplifier_db`) is taken off the loss. An antenna of 0 dBi or less is judged by the 5 dB alone.

Source: 5 dB is common practice, no source; losses by generic kind: see `planlint.rf.coax` (arrl.org, Chapter 6;
scc-ares-races.org cable page).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import behind, links_on
from planlint.facts.chain import NOTHING, Part
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import text, value

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"loss_db": "higher"})

_MOST_DB = 5.0
_PRECISION_DB = 1e-9


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each antenna whose cable loses too much."""
    if "antennas" not in plan.values:
        yield Unchecked(("/antennas",))
    for name, spec in sorted(plan.section("antennas").items()):
        users = [link for link in links_on(plan, name) if link.id in facts.carriers]
        carrier = max((facts.carriers[link.id] for link in users), default=0)
        by_kind = "loss_db" not in spec.get("coax", {}) and "length_m" in spec.get("coax", {})
        if by_kind and not carrier:
            yield Unchecked((f"/antennas/{escape(name)}/coax/loss_db",), (name,))
            continue
        found = behind(plan, name, carrier)
        loss, amplifier = NOTHING.plus(found["coax"].gain_db, -1), found.get("amplifier")
        made_up = max(amplifier.gain_db.low, 0.0) if amplifier else 0.0
        gain = found["antenna"].gain_db
        limit = _limit(gain.low)
        if loss.low - made_up > limit + _PRECISION_DB:
            exact = loss.known
            yield _fault(plan, name, found["coax"], loss.low, limit, made_up, about=not exact)
            if not math.isfinite(gain.low):
                continue
        elif loss.high - made_up > limit + _PRECISION_DB:
            yield Unchecked(found["coax"].needs, (name, *(link.id for link in users)))
        if not math.isfinite(gain.low) and loss.high > made_up:
            yield Unchecked(found["antenna"].needs, (name, *(link.id for link in users)))
