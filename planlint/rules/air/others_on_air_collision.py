"""Somebody else is on our spot: a house headset, a news crew, a hearing loop.

What goes wrong: their carrier was there before us and they cannot hear that they are in our way. The emissions'
edges are compared: nearer than half the sum of both widths is a collision.

Bad::

    plan_format: 1
    kind: plan
    spectrum: {others_on_air: {house-headset: {carrier_mhz: 504.250, emission_khz: 200, kind: comms}}}
    links: {gtr: {kind: ear, carrier_mhz: 504.275}}

Good::

    plan_format: 1
    kind: plan
    spectrum: {others_on_air: {house-headset: {carrier_mhz: 504.250, emission_khz: 200, kind: comms}}}
    links: {gtr: {kind: ear, carrier_mhz: 504.450}}

Carriers of acts on different stages are left to stage-separation-low: there the distance decides.

Source: emissions that overlap; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.stage_reuse import on_two_stages
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Other
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers, moves_with, pairs

RULE = Rule(severity="error", group="link", source="overlap of emissions", accept={"spacing_khz": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link whose emission overlaps somebody else's while both are on."""
    if "others_on_air" not in plan.section("spectrum"):
        yield Unchecked(("/spectrum/others_on_air",))
        return
    yield from lacking_carriers(plan, facts)
    for ours, theirs in pairs(plan, facts, others=True):
        gap = abs(facts.carriers[ours] - facts.carriers[theirs])
        need = (facts.widths[ours] + facts.widths[theirs]) // 2
        if gap >= need or on_two_stages(plan, ours, theirs):
            continue
        other = plan.others[theirs]
        yield Fault(
            facts.carrier_at(ours),
            f"{ours} {mhz(facts.carriers[ours])} is {khz(gap)} kHz from {theirs} {mhz(facts.carriers[theirs])}"
            f"{_whose(other)}; their emissions overlap below {khz(need)} kHz. {_what_to_do(other, ours)}"
            f"{moves_with(facts, ours)}",
            (ours, theirs),
            {"spacing_khz": khz_number(gap), "limit_khz": khz_number(need)},
            (Mark(other.carrier_at, f"{theirs} is here"),),
            rank=gap,
        )


def _whose(other: Other) -> str:
    return f" ({other.who})" if other.who else ""


def _what_to_do(other: Other, ours: str) -> str:
    move = f"Move {ours}: its transmitter and every pack or receiver on it."
    if other.may_move is False:
        return f"They cannot move. {move}"
    return f"Ask them to move, or: {move[0].lower()}{move[1:]}"
