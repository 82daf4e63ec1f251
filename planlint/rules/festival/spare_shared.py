"""Two acts that hold one spare carrier at one time.

What goes wrong: the first spare on our list is the first on the list of the act before us too; on a bad night both take
it, on one stage, in one minute. Our own spares count for the time of the acts that hold our links, else all day.

Bad::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear}}
    spares_mhz: {ear: [502.700]}
    acts:
      us: {stage: main, holds: [ear-1], at: "20:00", until: "21:00"}
      harp: {stage: main, at: "19:00", until: "20:10", spares_mhz: [502.700]}

Good::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear}}
    spares_mhz: {ear: [502.700]}
    acts:
      us: {stage: main, holds: [ear-1], at: "20:10", until: "21:00"}
      harp: {stage: main, at: "19:00", until: "20:10", spares_mhz: [502.700]}

Emissions that overlap count as one spare. Acts on different stages are not compared.

Source: intervals and emissions that overlap; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from planlint.facts import Facts
from planlint.facts.emission import unwritten_hz
from planlint.facts.festival import overlap, same_stage
from planlint.facts.spares import width_hz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Act
from planlint.plan.quantity import clock, mhz, to_hz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.festival_wording import lacking_acts

RULE = Rule(severity="warning", group="margin", source="intervals and emissions that overlap")


class _Held(NamedTuple):
    """A spare that an act holds: its carrier and width in Hz."""

    act: Act
    ours: bool
    carrier_hz: int
    width_hz: int
    at: str


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each two spares of acts on one stage that overlap while both are on the air."""
    yield from lacking_acts(plan, times=True)
    if "spares_mhz" not in plan.values:
        yield Unchecked(("/spares_mhz",))
    for act in plan.acts:
        if "spares_mhz" not in act.spec and not set(act.holds) & plan.links.keys():
            yield Unchecked((f"{act.at}/spares_mhz",), act.holds)
    for one, other in combinations(_held(plan, facts), 2):
        mine = one.act.id == other.act.id or (one.ours and other.ours)
        near = 2 * abs(one.carrier_hz - other.carrier_hz) < one.width_hz + other.width_hz
        if not mine and near and same_stage(one.act, other.act) and overlap(one.act, other.act):
            yield _fault(one, other)


def _held(plan: Plan, facts: Facts) -> Iterator[_Held]:
    ours = [act for act in plan.acts if set(act.holds) & plan.links.keys()]
    ours = ours or [Act("us", None, (), 0, None, None, {}, "/spares_mhz")]
    for act in ours:
        for spare in plan.spares:
            yield _Held(act, ours=True, carrier_hz=spare.carrier_hz, width_hz=width_hz(facts, spare), at=spare.at)
    for act in plan.acts:
        for index, carrier in enumerate(act.spec.get("spares_mhz", ())):
            yield _Held(act, act in ours, to_hz(carrier, "mhz"), unwritten_hz(), f"{act.at}/spares_mhz/{index}")


def _fault(one: _Held, other: _Held) -> Fault:
    start, end = overlap(one.act, other.act) or (0, None)
    when = f"until {clock(end)}" if end is not None else "and no end is written"
    return Fault(
        one.at,
        f"spare {mhz(one.carrier_hz)} is kept by {one.act.id} and, as {mhz(other.carrier_hz)}, by {other.act.id} at one time (from "
        f"{clock(start)}, {when}). Ask whoever shares out frequencies for one of your own, or agree who takes it first.",
        (),
        {"spare_mhz": mhz(one.carrier_hz), "from": clock(start)} | ({"until": clock(end)} if end is not None else {}),
        (Mark(other.at, f"{other.act.id} holds it too"),),
    )
