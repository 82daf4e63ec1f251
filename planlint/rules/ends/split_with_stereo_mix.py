"""A stereo mix on one input of a split transmitter.

What goes wrong: each input of a split pair takes one cable. Of a stereo mix only one half arrives: half the
keys and half the drums are missing, and it sounds almost right in the empty hall.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}}
    mixes: {g-a: {width: stereo, desk_out: [13, 14]}, g-b: {width: mono, desk_out: [15]}}
    links: {duo: {kind: ear, tx: TX-7, sends: stereo, feed: {left: g-a, right: g-b}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}}
    mixes: {g-a: {width: mono, desk_out: [13]}, g-b: {width: mono, desk_out: [15]}}
    links: {duo: {kind: ear, tx: TX-7, sends: stereo, feed: {left: g-a, right: g-b}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.split import SIDES, splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_feeds, sender

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each side of a split pair that is fed a stereo mix."""
    yield from lacking_feeds(plan)
    for link in splits(plan):
        for side in SIDES:
            mix = (link.feed or {})[side]
            width = plan.section("mixes").get(mix, {}).get("width")
            if width is None:
                yield Unchecked((f"/mixes/{escape(mix)}/width",), (link.id,))
            elif width == "stereo":
                yield Fault(
                    f"/mixes/{escape(mix)}/width",
                    f"{mix} is a stereo mix, and the {side} input of {sender(link)} takes one cable of it: half the mix "
                    f"is not heard. Make {mix} mono on the desk, or give it a transmitter of its own.",
                    (link.id, link.tx) if link.tx else (link.id,),
                    {"mix": mix, "width": width, "side": side},
                    (Mark(f"{link.at}/feed/{side}", f"fed to the {side} input of {link.id}"),),
                )
