"""Ear transmitters inside the microphones' receive window.

What goes wrong: an ear transmitter stands three metres from the microphone receivers' antennas and shouts into
the front end they share; microphones lose range first. Keep ears and microphones in bands of their own.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 540.300}
      hand: {kind: mic, carrier_mhz: 545.300}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 540.300}
      hand: {kind: mic, carrier_mhz: 548.300}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.limits import hertz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers, pairs

RULE = Rule(
    severity="warning",
    group="margin",
    source="common practice, no source",
    accept={"spacing_khz": "lower"},
    switch="spacing_khz.ear_to_mic",
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each ear link, with the microphone nearest to it, that is nearer than the limit."""
    yield from lacking_carriers(plan, facts)
    limit = hertz(plan, "spacing_khz.ear_to_mic", 0).hz
    nearest: dict[str, tuple[int, str]] = {}
    for first, second in pairs(plan, facts, others=False):
        if {plan.links[first].kind, plan.links[second].kind} != {"ear", "mic"}:
            continue
        ear, mic = (first, second) if plan.links[first].kind == "ear" else (second, first)
        gap = abs(facts.carriers[ear] - facts.carriers[mic])
        if 0 < gap < limit:
            nearest[ear] = min(nearest.get(ear, (gap, mic)), (gap, mic))
    for ear, (gap, mic) in sorted(nearest.items()):
        yield Fault(
            facts.carrier_at(ear),
            f"{ear} {mhz(facts.carriers[ear])} is {khz(gap)} kHz from {mic} {mhz(facts.carriers[mic])}; ears and microphones "
            f"are to stay {khz(limit)} kHz apart. Move {ear} (transmitter and packs) or {mic} (transmitter and receiver).",
            (ear, mic),
            {"spacing_khz": khz_number(gap), "limit_khz": khz_number(limit)},
            (Mark(facts.carrier_at(mic), f"{mic} {mhz(facts.carriers[mic])}"),),
            rank=gap,
        )
