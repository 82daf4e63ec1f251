"""Carriers move or transmitters go off, and nobody is told to take the ears out first.

What goes wrong: when a carrier moves or its transmitter goes off, a pack with an open squelch gives its wearer a
burst of noise at full scale. Every show of a tour moves carriers, every scan switches transmitters off, and a spare
carrier is kept to be moved to.

Bad::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear, carrier_mhz: 505.300}}
    spares_mhz: {ear: [507.575]}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear, carrier_mhz: 505.300}}
    spares_mhz: {ear: [507.575]}
    cautions: [{about: retune, say: ears out or packs at minimum before any carrier moves}]

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import ear_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.caution_wording import ask, settled, unwritten

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")

SAY = (
    "Ears out or packs at minimum before any carrier moves or any transmitter goes off: an open squelch is a full-scale "
    "burst. Say it on the radio and wait for the answer."
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where carriers will move under in-ear packs and no caution is about it."""
    yield from unwritten(plan)
    if settled(plan, "retune"):
        return
    if not plan.links:
        yield Unchecked(("/links",))
    ears = [link.id for link in ear_links(plan)]
    reasons = list(_reasons(plan))
    if ears and reasons:
        why = f"People wear in-ear packs, {', '.join(words for words, _ in reasons)}"
        yield from ask("retune", why, SAY, ears, [mark for _, mark in reasons])


def _reasons(plan: Plan) -> Iterator[tuple[str, Mark]]:
    if plan.section("scans"):
        yield "a scan switches transmitters off", Mark("/scans", "a scan")
    if plan.spares:
        yield "spare carriers are kept to move to", Mark("/spares_mhz", "spare carriers")
    if plan.kind == "venue":
        yield "carriers move from show to show", Mark("/carriers", "this show's carriers")
