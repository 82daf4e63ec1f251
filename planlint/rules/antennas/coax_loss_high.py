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

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import behind, links_on
from planlint.facts.chain import NOTHING, Span
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rf.decibel import db_to_ratio
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
        users = tuple(link.id for link in links_on(plan, name) if link.id in facts.carriers)
        coax, carrier = spec.get("coax", {}), max((facts.carriers[link] for link in users), default=0)
        if "loss_db" not in coax and coax.get("length_m") and not carrier:
            yield Unchecked((f"/antennas/{escape(name)}/coax/loss_db",), (name,))
            continue
        found = behind(plan, name, carrier)
        amplifier, gain = found.get("amplifier"), found["antenna"].gain_db
        made_up = max(amplifier.gain_db.low, 0.0) if amplifier else 0.0
        loss = NOTHING.plus(found["coax"].gain_db, -1).plus(Span(made_up, made_up), -1)
        limit = min(_MOST_DB, gain.low) if gain.low > 0 else _MOST_DB
        if loss.low > limit + _PRECISION_DB:
            yield _fault(plan, name, (loss.low + made_up, made_up), limit, users, known=loss.known)
        elif loss.high > limit + _PRECISION_DB:
            yield Unchecked(found["coax"].needs, (name, *users))
        elif found["antenna"].needs and loss.high > 0:
            yield Unchecked(found["antenna"].needs, (name, *users))


def _fault(
    plan: Plan, name: str, loss: tuple[float, float], limit: float, users: tuple[str, ...], *, known: bool
) -> Fault:
    lost, made_up = loss
    spec, at = plan.section("antennas")[name], f"/antennas/{escape(name)}"
    coax = spec.get("coax", {})
    run = f"{text(coax['length_m'])} m of {coax.get('kind', 'coax')}" if "length_m" in coax else "its coax"
    against = f"its {text(spec['gain_dbi'])} dBi gain" if limit < _MOST_DB else "5 dB"
    amplified = f" and the amplifier makes up {text(made_up)} dB of it" if made_up else ""
    return Fault(
        f"{at}/coax/{'loss_db' if 'loss_db' in coax else 'length_m'}",
        f"{name}: {run} loses {'' if known else 'at least '}{lost:.1f} dB{amplified}, more than {against}; "
        f"{100 / db_to_ratio(lost):.0f} % of the power is left at the far end. Take a shorter or thicker cable, or bring "
        f"rack and antenna nearer together.",
        (name, *users),
        {"loss_db": round(lost, 2), "limit_db": value(limit), "amplifier_db": value(made_up)},
        (Mark(f"{at}/gain_dbi", "its gain"),) if limit < _MOST_DB else (),
    )
