"""A transmitting antenna beside a receiving one.

What goes wrong: the ears' antenna shouts into the microphones' receivers from a step away. They go deaf, the squelch
closes on people at the far end, and no choice of carriers helps. Metres help, 6 dB for each doubling.

Bad::

    plan_format: 1
    kind: plan
    antennas: {ear-out: {for: ear}, mic-a: {for: mic}}
    apart_m: {ear-out: {mic-a: 1}}

Good::

    plan_format: 1
    kind: plan
    antennas: {ear-out: {for: ear}, mic-a: {for: mic}}
    apart_m: {ear-out: {mic-a: 3}}

The level printed is EIRP less free-space loss, before the receiving antenna's gain, of the strongest link on the
antenna; it is left out where the plan does not say what is radiated, and nearer than one wavelength, where the model
does not hold. `options: {least_m: ...}` sets another least distance.

Source: 3 m is common practice, no source; free-space loss by Recommendation ITU-R P.525-5.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, NamedTuple

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import Apart, apart, apart_at, links_on, serves
from planlint.facts.power import sent
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rf.propagation import free_space_loss_db, wavelength_m
from planlint.rules.base import Between, Rule
from planlint.rules.packs import text, value

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"apart_m": "lower"})


class Options(NamedTuple):
    """The least distance in m."""

    least_m: Annotated[float, Between(0, 1000)] = 3.0


class _Loudest(NamedTuple):
    level_dbm: float
    link: Link


def check(plan: Plan, facts: Facts, options: Options) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pair of an ear and a microphone antenna that stand too near."""
    names = sorted(plan.section("antennas"))
    if "antennas" not in plan.values:
        yield Unchecked(("/antennas",))
    kinds = {name: serves(plan, name) for name in names}
    for name in names:
        if kinds[name] is None:
            yield Unchecked((f"/antennas/{escape(name)}/for",), (name,))
    for ear in (name for name in names if kinds[name] == "ear"):
        for mic in (name for name in names if kinds[name] == "mic"):
            found = apart(plan, ear, mic)
            if found is None:
                yield Unchecked((apart_at(ear, mic),), (ear, mic))
            elif found.metres < options.least_m:
                yield _fault(plan, facts, ear, mic, found, options.least_m)


def _fault(plan: Plan, facts: Facts, ear: str, mic: str, found: Apart, least: float) -> Fault:
    loudest = _loudest(plan, facts, ear, found.metres)
    numbers: dict[str, Value] = {"apart_m": value(found.metres), "limit_m": value(least)}
    arrives = ""
    if loudest is not None:
        numbers["level_dbm"] = round(loudest.level_dbm, 1)
        arrives = f" {loudest.link.id} arrives there at {loudest.level_dbm:.0f} dBm."
    receivers = [link for link in links_on(plan, mic) if link.rx]
    return Fault(
        found.at,
        f"{ear} stands {text(found.metres)} m from {mic}, limit {text(least)} m.{arrives} The receivers on {mic} go deaf and lose "
        f"their farthest microphones first. Move one of the two antennas: each doubling of the distance takes 6 dB off.",
        (ear, mic, *(link.id for link in receivers), *((loudest.link.id,) if loudest else ())),
        numbers,
        (
            Mark(f"/antennas/{escape(ear)}", f"{ear} transmits", key=True),
            Mark(f"/antennas/{escape(mic)}", f"{mic} receives", key=True),
        ),
    )


def _loudest(plan: Plan, facts: Facts, ear: str, metres: float) -> _Loudest | None:
    """Return the strongest link on a transmitting antenna, by its level in dBm so many metres away."""
    found = []
    for link in links_on(plan, ear):
        carrier = facts.carriers.get(link.id)
        levels = sent(plan, facts, link).levels if carrier else None
        if carrier and levels and math.isfinite(levels.eirp.low) and metres >= wavelength_m(carrier):
            found.append(_Loudest(levels.eirp.low - free_space_loss_db(metres, carrier), link))
    return max(found, key=lambda each: (each.level_dbm, each.link.id), default=None)
