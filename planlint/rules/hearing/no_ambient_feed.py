"""Sealed earphones, and nothing of the room in the mix.

What goes wrong: whoever hears neither the hall nor the neighbour on stage pulls one ear out, and turns the other up. Two
microphones at the stage's edge, low in the mix, keep both ears in.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {ears: moulded}}
    earphones: {moulded: {sealed: true}}
    devices: {TX-1: {}, PK-1: {}}
    mixes: {vox: {for: vox, width: stereo, ambience: false}}
    links: {vox: {kind: ear, tx: TX-1, feed: {stereo: vox}, packs: {PK-1: {person: vox}}}}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {ears: moulded}}
    earphones: {moulded: {sealed: true}}
    devices: {TX-1: {}, PK-1: {}}
    mixes: {vox: {for: vox, width: stereo, ambience: true}}
    links: {vox: {kind: ear, tx: TX-1, feed: {stereo: vox}, packs: {PK-1: {person: vox}}}}

On a split pair the side that the pack is turned to counts; at the middle, both.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.ears import Earphones, earphones
from planlint.facts.packs import ear_links, main_packs, setting
from planlint.facts.split import FEEDS, side
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_feeds, lacking_packs, named, subjects

RULE = Rule(severity="note", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack with sealed earphones on a mix without ambience; spares hear what the main hears."""
    yield from lacking_packs(plan)
    yield from (lack for lack in lacking_feeds(plan) if lack.subjects)
    for link in ear_links(plan):
        if link.feed is not None and frozenset(link.feed) in FEEDS:
            for pack in main_packs(link):
                yield from _judge(plan, link, pack)


def _judge(plan: Plan, link: Link, pack: Pack) -> Iterator[Fault | Unchecked]:
    worn = earphones(plan, link, pack)
    if worn is None or (isinstance(worn, Earphones) and worn.spec.get("sealed") is False):
        return
    for mix in _heard(plan, link, pack):
        ambience, at = plan.section("mixes").get(mix, {}).get("ambience"), f"/mixes/{escape(mix)}/ambience"
        if ambience is True:
            continue
        needs = (
            list(worn) if not isinstance(worn, Earphones) else [] if "sealed" in worn.spec else [f"{worn.at}/sealed"]
        )
        needs += [at] if ambience is None else []
        if needs:
            yield Unchecked(tuple(needs), subjects(link, pack))
        elif isinstance(worn, Earphones):
            yield Fault(
                at,
                f"{named(pack)}: {worn.id} earphones seal the ear, and mix {mix} holds nothing of the room: people pull one ear "
                "out and turn the other up. Put two microphones at the stage's edge low into the mix, and keep both ears in.",
                subjects(link, pack),
                {"mix": mix, "earphones": worn.id},
                (Mark(f"{worn.at}/sealed", f"{worn.id} seal the ear"),),
            )


def _heard(plan: Plan, link: Link, pack: Pack) -> list[str]:
    """Return the mixes that a pack of a link hears."""
    feed = link.feed or {}
    turned = side(setting(plan, pack, "balance_pct").value)
    if turned is not None and turned in feed:
        return [feed[turned]]
    return sorted(set(feed.values()))
