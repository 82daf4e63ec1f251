"""In-ear packs and no word about level.

What goes wrong: a pack is put on with the volume where the last wearer left it, and the first thing heard is the
loudest. Packs start at minimum and are raised after the music runs.

Bad::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear, carrier_mhz: 505.300}}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    links: {ear-1: {kind: ear, carrier_mhz: 505.300}}
    cautions: [{about: hearing, say: packs start at minimum and are raised after the music runs}]

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
    "Packs start at minimum and are raised after the music runs; whoever hears ringing or a dull ear says so and stops."
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where in-ear links are used and no caution is about hearing."""
    yield from unwritten(plan)
    if settled(plan, "hearing"):
        return
    if not plan.links:
        yield Unchecked(("/links",))
    ears = list(ear_links(plan))
    if ears:
        marks = [Mark(ears[0].at, f"{ears[0].id} feeds somebody's ears", key=True)]
        count = "An in-ear link is" if len(ears) == 1 else f"{len(ears)} in-ear links are"
        yield from ask("hearing", f"{count} in use", SAY, [link.id for link in ears], marks)
