"""A pack that decodes stereo where mono is sent, or mono where stereo is sent.

What goes wrong: the wearer hears both sides summed, one side only, or noise, by the unit. It happens when a
pack comes back from a guest. On a split pair every pack must decode stereo; where its transmitter sends mono,
that is split-needs-stereo-tx.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-2: {}, PK-2: {}}
    mixes: {gtr: {width: stereo}}
    links:
      gtr: {kind: ear, tx: TX-2, sends: stereo, feed: {stereo: gtr}, packs: {PK-2: {decodes: mono}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-2: {}, PK-2: {}}
    mixes: {gtr: {width: stereo}}
    links:
      gtr: {kind: ear, tx: TX-2, sends: stereo, feed: {stereo: gtr}, packs: {PK-2: {decodes: stereo}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import Setting, ear_links, setting, worn
from planlint.facts.split import is_split
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_packs, named, sender, subjects, who

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack that does not decode what its link sends."""
    yield from lacking_packs(plan)
    for link in ear_links(plan):
        if link.sends is None:
            yield Unchecked((f"{link.at}/sends",), (link.id,))
    for link, pack in worn(plan):
        decodes = setting(plan, pack, "decodes")
        sent = "stereo" if is_split(link) else link.sends
        if decodes.value is None:
            yield Unchecked((decodes.at,), subjects(link, pack))
        elif sent is not None and decodes.value != sent:
            yield _fault(link, pack, decodes, sent)


def _fault(link: Link, pack: Pack, decodes: Setting, sent: str) -> Fault:
    if is_split(link):
        message = (
            f"{named(pack)} decodes mono on split pair {link.id}: {who(pack)} hears both people's mixes summed. Set {pack.id} "
            f"to decode stereo, and {sender(link)} to send stereo."
        )
    else:
        hears = (
            "both sides summed (some units: left only)"
            if sent == "stereo"
            else "one side, noise or nothing, by the unit"
        )
        message = (
            f"{sender(link)} sends {sent}, {named(pack)} decodes {decodes.value}: {who(pack)} hears {hears}. Set {pack.id} to "
            f"{sent}, or {sender(link)} to {decodes.value} with every pack on {link.id}."
        )
    return Fault(
        f"{pack.at}/decodes",
        message,
        subjects(link, pack),
        {"sends": link.sends or "unwritten", "decodes": decodes.value},
        (Mark(f"{link.at}/sends", f"{sender(link)} sends this"), *house_mark(decodes)),
    )
