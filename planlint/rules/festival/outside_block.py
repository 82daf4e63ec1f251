"""A carrier outside the blocks that were allotted.

What goes wrong: the festival gave us 482 to 488; a carrier at 500.425 is somebody else's, who was promised it. The
emission's edges count, as for every matter of other people's spectrum. Spares count, and so do the carriers of acts
whose own blocks are written.

Bad::

    plan_format: 1
    kind: plan
    spectrum: {allotted_mhz: [{low: 482.000, high: 488.000}]}
    links: {ear-3: {kind: ear, carrier_mhz: 500.425}}

Good::

    plan_format: 1
    kind: plan
    spectrum: {allotted_mhz: [{low: 482.000, high: 488.000}]}
    links: {ear-3: {kind: ear, carrier_mhz: 483.425}}

Source: what the coordinator wrote; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.festival import blocks
from planlint.facts.spares import width_hz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Range
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="error", group="link", source="what the coordinator wrote")

_OURS = "/spectrum/allotted_mhz"
_Blocks = list[tuple[Range, str]]


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each of our carriers and spares outside our blocks, and each act's outside its own."""
    written = plan.section("spectrum").get("allotted_mhz")
    if written is None:
        yield Unchecked((_OURS,))
    else:
        own = blocks(written, _OURS)
        for name in sorted(plan.links):
            link = plan.links[name]
            if link.wants_carrier and name not in facts.carriers:
                yield Unchecked((link.carrier_at,), (name,))
            elif link.wants_carrier and not _inside(own, *facts.edges(name)):
                yield _fault(name, link.carrier_at, facts.edges(name), own, _OURS, (name,))
        for spare in plan.spares:
            half = width_hz(facts, spare) // 2
            edges = spare.carrier_hz - half, spare.carrier_hz + half
            if not _inside(own, *edges):
                fault = _fault(f"spare {mhz(spare.carrier_hz)}", spare.at, edges, own, _OURS, ())
                yield fault._replace(severity="warning")
    for act in plan.acts:
        at = f"{act.at}/allotted_mhz"
        if "allotted_mhz" in act.spec:
            theirs = blocks(act.spec["allotted_mhz"], at)
            for name in act.holds:
                if name in plan.others and name in facts.carriers and not _inside(theirs, *facts.edges(name)):
                    yield _fault(name, facts.carrier_at(name), facts.edges(name), theirs, at, (name,))


def _inside(given: _Blocks, low_hz: int, high_hz: int) -> bool:
    """Say whether one block, or blocks that touch, hold an emission."""
    reached = low_hz
    for block, _ in sorted(given):
        if block.low_hz <= reached <= block.high_hz:
            reached = max(reached, block.high_hz)
    return reached >= high_hz and any(block.low_hz <= low_hz <= block.high_hz for block, _ in given)


def _fault(who: str, at: str, edges: tuple[int, int], given: _Blocks, given_at: str, ids: tuple[str, ...]) -> Fault:
    what = joined(f"{mhz(block.low_hz)} to {mhz(block.high_hz)}" for block, _ in sorted(given)) if given else "nothing"
    return Fault(
        at,
        f"{who} takes {mhz(edges[0])} to {mhz(edges[1])}; allotted was {what}. Move it inside, both ends, or ask whoever shares out "
        "frequencies for this one before it goes on the air.",
        ids,
        {"low_mhz": mhz(edges[0]), "high_mhz": mhz(edges[1])},
        tuple(Mark(place, "allotted") for _, place in given[:3]) or (Mark(given_at, "allotted"),),
    )
