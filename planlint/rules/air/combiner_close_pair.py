"""A close pair of carriers through a combiner of low isolation.

What goes wrong: in a passive combiner each transmitter leaks into the other's output stage, and the pair nearest each
other makes the strongest product of the whole rack. Speaks for the closest pair of each combiner with less than 30 dB
isolation, if it is nearer than twice the house's spacing.

Bad::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter, emission_khz: 200, powers_mw: [10], power_basis: conducted}
      two-way: {role: combiner, active: false, ways: 2, loss_db: 3.5, isolation_db: 20}
    devices: {CMB: {model: two-way}, TX-1: {model: tx-n, into: CMB}, TX-2: {model: tx-n, into: CMB}}
    links:
      ear-1: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 10}
      ear-2: {kind: ear, tx: TX-2, carrier_mhz: 506.075, power_mw: 10}

Good::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter, emission_khz: 200, powers_mw: [10], power_basis: conducted}
      two-way: {role: combiner, active: false, ways: 2, loss_db: 3.5, isolation_db: 20}
    devices: {CMB: {model: two-way}, TX-1: {model: tx-n, into: CMB}, TX-2: {model: tx-n, into: CMB}}
    links:
      ear-1: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 10}
      ear-2: {kind: ear, tx: TX-2, carrier_mhz: 506.100, power_mw: 10}

Source: reverse coupling as in ITU-R SM.1446 (type named, read in a public copy); 30 dB and twice the spacing are
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from planlint.facts import Facts
from planlint.facts.chain import model_at
from planlint.facts.leaky_combiners import LOW_ISOLATION_DB, SPACINGS
from planlint.facts.route import way_out
from planlint.facts.spacing import like, limit_hz
from planlint.facts.transmitting import OUTPUT_INTERCEPT_DBM
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rf.decibel import mw_to_dbm
from planlint.rf.intercept import transmitter_product_dbm
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="ITU-R SM.1446; limits: common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for the closest pair of each combiner of low isolation."""
    boxes: dict[str, list[str]] = {}
    for name in sorted(facts.carriers):
        link = plan.links.get(name)
        device = plan.devices.get(link.tx) if link and link.tx else None
        if link is None or device is None or link.kind == "mic" or not facts.leads(name):
            continue
        found = way_out(plan, device, link.kind)
        if found.needs and not found.boxes:
            yield Unchecked(found.needs, (name, device.id))
        elif found.boxes:
            boxes.setdefault(found.boxes[0], []).append(name)
    if not plan.devices:
        yield Unchecked(("/devices",))
    for box, names in sorted(boxes.items()):
        model = plan.devices[box].model
        isolation = model.spec.get("isolation_db") if model else None
        if isolation is None:
            yield Unchecked((f"{model.at}/isolation_db" if model else model_at(plan.devices[box]),), (box,))
        elif float(isolation) < LOW_ISOLATION_DB:
            pairs = [pair for pair in combinations(names, 2) if _meet(facts, *pair)]
            if pairs:
                yield from _judge(plan, facts, box, float(isolation), min(pairs, key=lambda pair: _gap(facts, pair)))


def _meet(facts: Facts, first: str, second: str) -> bool:
    return any(first in ids and second in ids for ids in facts.together)


def _gap(facts: Facts, pair: tuple[str, str]) -> int:
    return abs(facts.carriers[pair[0]] - facts.carriers[pair[1]])


def _judge(plan: Plan, facts: Facts, box: str, isolation: float, pair: tuple[str, str]) -> Iterator[Fault]:
    first, second = pair
    kinds = (like(plan.links[first]), like(plan.links[second]))
    near, limit = _gap(facts, pair), SPACINGS * limit_hz(plan, kinds, (facts.widths[first], facts.widths[second]))
    if near >= limit:
        return
    powers = [plan.links[name].power_mw for name in pair]
    level = ""
    if all(powers):
        dbm = [mw_to_dbm(power or 1.0) for power in powers]
        made = transmitter_product_dbm((2, -1), dbm, (0.0, isolation), OUTPUT_INTERCEPT_DBM[3])
        level = f" (about {made:.0f} dBm at its socket, with an assumed intercept of {OUTPUT_INTERCEPT_DBM[3]:g} dBm)"
    yield Fault(
        facts.carrier_at(first),
        f"{first} {mhz(facts.carriers[first])} and {second} {mhz(facts.carriers[second])} are {khz(near)} kHz apart in {box}, which "
        f"isolates {isolation:g} dB: they make the rack's strongest product{level}. Move one {khz(limit)} kHz away at both ends, "
        "or give one an antenna of its own.",
        (first, second, box),
        {"spacing_khz": khz_number(near), "limit_khz": khz_number(limit), "isolation_db": isolation},
        (Mark(facts.carrier_at(second), f"{second} {mhz(facts.carriers[second])}"),),
        rank=near,
    )
