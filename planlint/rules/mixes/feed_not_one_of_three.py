"""A feed that is none of the three forms: stereo alone, mono alone, left and right together.

What goes wrong: it cannot be patched as it is written. With only `left`, somebody leaves the right input open
or pairs the plug; with `stereo` and `left`, two mixes are planned on one socket.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}}
    mixes: {g-a: {width: mono, desk_out: [13]}}
    links: {duo: {kind: ear, tx: TX-7, sends: stereo, feed: {left: g-a}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-7: {}}
    mixes: {g-a: {width: mono, desk_out: [13]}}
    links: {duo: {kind: ear, tx: TX-7, sends: mono, feed: {mono: g-a}}}

Source: the plan format: `feed` is exactly one of stereo, mono, or left and right.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.split import FEEDS
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_feeds, sender

RULE = Rule(severity="error", group="link", source="the plan format's feeds")

_ORDER = ("stereo", "mono", "left", "right")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each feed that is not exactly one of the three forms."""
    yield from lacking_feeds(plan)
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used or link.feed is None or frozenset(link.feed) in FEEDS:
            continue
        found = [key for key in _ORDER if key in link.feed]
        written = joined(found) if found else "nothing"
        if found in (["left"], ["right"]):
            missing = "right" if found == ["left"] else "left"
            do = f"Write what the {missing} input carries, or feed mono: {link.feed[found[0]]} and send mono"
        else:
            do = "Write stereo alone, mono alone, or left and right together"
        yield Fault(
            f"{link.at}/feed",
            f"{name}: the feed of {sender(link)} names {written}{' alone' if len(found) == 1 else ''}, which cannot be "
            f"patched as it stands. {do}, and set its packs to match.",
            (name, link.tx) if link.tx else (name,),
            {"feed": written},
            key=True,
        )
