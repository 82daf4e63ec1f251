"""Two antennas of one receiver that stand so near that they fade together.

What goes wrong: the second antenna is there for the moment in which the first hears nothing. A hand's breadth apart
both are in the same hole, and the dropouts stay.

Bad::

    plan_format: 1
    kind: plan
    devices: {RX-1: {into: SPL-B}, SPL-B: {}}
    antennas: {mic-a: {for: mic, through: SPL-B}, mic-b: {for: mic, through: SPL-B}}
    apart_m: {mic-a: {mic-b: 0.1}}
    links: {hand: {kind: mic, rx: RX-1, carrier_mhz: 560.000}}

Good::

    plan_format: 1
    kind: plan
    devices: {RX-1: {into: SPL-B}, SPL-B: {}}
    antennas: {mic-a: {for: mic, through: SPL-B}, mic-b: {for: mic, through: SPL-B}}
    apart_m: {mic-a: {mic-b: 1}}
    links: {hand: {kind: mic, rx: RX-1, carrier_mhz: 560.000}}

Below half a wavelength of the lowest carrier received this is a warning, below an eighth an error. With waves from all
round the fields are unrelated from 0.38 wavelengths on; half a wavelength leaves something in hand. Antennas turned at
right angles to each other differ without distance, and a waiver says so.

Source: R. H. Clarke, Bell System Technical Journal 47 (1968) 957 (from memory, not verified): correlation J0(2 pi d /
lambda), first zero at 0.3827 wavelengths (computed); half and an eighth of a wavelength: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import Apart, Use, apart, apart_at, uses
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rf.propagation import wavelength_m
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, text, value

RULE = Rule(
    severity="warning",
    group="margin",
    source="J0(2 pi d / lambda), Clarke 1968, from memory",
    accept={"apart_m": "lower"},
)

_WAVELENGTHS = 0.5
_ONE_ANTENNA = 0.125


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pair of antennas of one receiver that stand too near."""
    if not plan.links:
        yield Unchecked(("/links",))
    pairs: dict[tuple[str, str], list[Use]] = {}
    for use in uses(plan, "in"):
        if use.route.needs:
            yield Unchecked(use.route.needs, (use.link.id, use.device.id))
        for pair in combinations(sorted(use.route.antennas), 2):
            pairs.setdefault(pair, []).append(use)
    for (first, second), receivers in sorted(pairs.items()):
        lacking = tuple(
            use.link.carrier_at for use in receivers if use.link.wants_carrier and use.link.id not in facts.carriers
        )
        ids = tuple(dict.fromkeys(use.link.id for use in receivers))
        found = apart(plan, first, second)
        known = [facts.carriers[name] for name in ids if name in facts.carriers]
        needs = (*(() if found else (apart_at(first, second),)), *lacking)
        if needs:
            yield Unchecked(needs, (first, second, *ids))
        if found and known and found.metres < _WAVELENGTHS * wavelength_m(min(known)):
            yield _fault((first, second), found, receivers, min(known))


def _fault(pair: tuple[str, str], found: Apart, receivers: list[Use], lowest: int) -> Fault:
    first, second = pair
    half = _WAVELENGTHS * wavelength_m(lowest)
    one = found.metres < _ONE_ANTENNA * wavelength_m(lowest)
    units = sorted({use.device.id for use in receivers})
    drop = f"{joined(units)} drop{'s' if len(units) == 1 else ''} out"
    return Fault(
        found.at,
        f"{first} and {second} are {text(found.metres)} m apart; half a wavelength of {mhz(lowest)} is {half:.3f} m: they "
        f"{'act as one' if one else 'fade partly together'}, and {drop} "
        f"{'as with a single antenna' if one else 'more than with two antennas apart'}. Move one of them out to at least {math.ceil(half * 100) / 100:.2f} m, better 1 m.",
        (first, second, *units, *dict.fromkeys(use.link.id for use in receivers)),
        {"apart_m": value(found.metres), "limit_m": round(half, 4), "carrier_mhz": mhz(lowest)},
        tuple(Mark(f"/antennas/{escape(name)}", name, key=True) for name in pair),
        severity="error" if one else "warning",
    )
