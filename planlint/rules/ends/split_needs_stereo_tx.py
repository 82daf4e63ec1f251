"""A split pair on a transmitter that sends mono.

What goes wrong: two people share one stereo carrier, one mix left and one right. In mono both mixes are summed
before they are sent, and no setting of a pack can part them again.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    links:
      duo: {kind: ear, tx: TX-7, sends: mono, feed: {left: g-a, right: g-b}, packs: {PK-7L: {}, PK-7R: {}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}, PK-7L: {}, PK-7R: {}}
    mixes: {g-a: {width: mono}, g-b: {width: mono}}
    links:
      duo: {kind: ear, tx: TX-7, sends: stereo, feed: {left: g-a, right: g-b}, packs: {PK-7L: {}, PK-7R: {}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.split import splits
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_feeds, sender

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each split pair whose transmitter sends mono."""
    yield from lacking_feeds(plan)
    for link in splits(plan):
        if link.sends is None:
            yield Unchecked((f"{link.at}/sends",), (link.id,))
        elif link.sends == "mono" and link.feed is not None:
            yield Fault(
                f"{link.at}/sends",
                f"{sender(link)} sends mono and is fed two mixes, {link.feed['left']} left and {link.feed['right']} right: both "
                f"people on {link.id} hear both, summed. Set {sender(link)} to stereo and leave every pack on it decoding "
                "stereo: two mono mixes on a stereo carrier look wrong and are right.",
                (link.id, link.tx) if link.tx else (link.id,),
                {"sends": link.sends, "left": link.feed["left"], "right": link.feed["right"]},
                (Mark(f"{link.at}/feed", "fed two mixes here", key=True),),
            )
