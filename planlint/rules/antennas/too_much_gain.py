"""An amplified antenna over too short a cable.

What goes wrong: the amplifier is there to make up for the cable. What is left over overloads the receivers: every
strong carrier in the hall makes products with every other, and microphones drop out beside a rack full of signal.

Bad::

    plan_format: 1
    kind: plan
    devices: {RX-1: {into: mic-a}}
    antennas: {mic-a: {for: mic, gain_dbi: 6, amplifier_db: 12, coax: {loss_db: 0.5}}}
    links: {hand: {kind: mic, rx: RX-1, carrier_mhz: 560.000}}

Good::

    plan_format: 1
    kind: plan
    devices: {RX-1: {into: mic-a}}
    antennas: {mic-a: {for: mic, gain_dbi: 6, amplifier_db: 3, coax: {loss_db: 0.5}}}
    links: {hand: {kind: mic, rx: RX-1, carrier_mhz: 560.000}}

Counted is everything between the antenna and the receiver: amplifier, cable, splitter or combiner (a loss below 0 is
gain), without the antenna's own gain. Above 6 dB left over this is a warning, above 10 dB an error.

Source: 6 and 10 dB are common practice, no source; gains and losses in dB add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import Use, total, uses
from planlint.facts.chain import parts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, text, value

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"gain_db": "higher"})

_WARN_DB = 6.0
_ERROR_DB = 10.0
_PRECISION_DB = 1e-9


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each antenna that brings receivers too much gain."""
    if not plan.links:
        yield Unchecked(("/links",))
    chains: dict[tuple[str, tuple[str, ...]], list[Use]] = {}
    for use in uses(plan, "in"):
        if use.route.needs:
            yield Unchecked(use.route.needs, (use.link.id, use.device.id))
        for antenna in use.route.antennas:
            chains.setdefault((antenna, use.route.boxes), []).append(use)
    for (antenna, _), receivers in sorted(chains.items()):
        carriers = [facts.carriers[use.link.id] for use in receivers if use.link.id in facts.carriers]
        coax = plan.section("antennas")[antenna].get("coax", {})
        if "loss_db" not in coax and coax.get("length_m") and not carriers:
            yield Unchecked(tuple(use.link.carrier_at for use in receivers), (antenna,))
            continue
        way = receivers[0].route._replace(antennas=(antenna,))
        gain, needs = total(parts(plan, way, min(carriers, default=0))[:-1])
        ids = (antenna, *dict.fromkeys(use.device.id for use in receivers), *(use.link.id for use in receivers))
        if gain.low > _WARN_DB + _PRECISION_DB:
            yield _fault(plan, antenna, receivers, gain.low, ids)
        elif gain.high > _WARN_DB + _PRECISION_DB:
            yield Unchecked(needs, ids)


def _fault(plan: Plan, antenna: str, receivers: list[Use], gain: float, ids: tuple[str, ...]) -> Fault:
    spec, at = plan.section("antennas")[antenna], f"/antennas/{escape(antenna)}"
    units = sorted({use.device.id for use in receivers})
    boxes = receivers[0].route.boxes
    amplifier = float(spec["amplifier_db"]) if "amplifier_db" in spec else None
    if amplifier is None:
        remedy = f"Turn down {joined(boxes)}, or put {math.ceil(gain - _WARN_DB - _PRECISION_DB)} dB of attenuation in its line."
    else:
        most = math.floor((amplifier - gain + _WARN_DB + _PRECISION_DB) * 10) / 10
        remedy = f"Turn the amplifier at {antenna} from {text(amplifier)} to {text(most)} dB or less, or put a pad in its line."
    return Fault(
        f"{at}/amplifier_db" if amplifier is not None else f"{plan.devices[boxes[-1]].at}/model",
        f"{antenna}: {text(round(gain, 1))} dB of gain is left over at {joined(units)} after cable and splitter, limit "
        f"{_WARN_DB:g} dB: strong carriers overload the receivers. {remedy} Then walk the stage with the microphones.",
        ids,
        {"gain_db": value(round(gain, 2)), "limit_db": value(_WARN_DB)},
        tuple(Mark(plan.devices[name].at, f"it goes through {name}", key=True) for name in boxes),
        severity="error" if gain > _ERROR_DB + _PRECISION_DB else "warning",
    )
