"""Somebody who uses a microphone and has no mix of their own.

What goes wrong: the guest sings, and nobody planned what the guest hears. Whoever wears no ears by choice is
written `ears: none`.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {}, guest-a: {}}
    devices: {TX-1: {}, PK-1: {}, PK-2: {}, HH-3: {}, RX-3: {}}
    mixes: {vox: {for: vox, width: stereo}}
    links:
      vox: {kind: ear, tx: TX-1, feed: {stereo: vox}, packs: {PK-1: {person: vox}, PK-2: {person: guest-a}}}
      gst: {kind: mic, mic: HH-3, rx: RX-3, person: guest-a}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {}, guest-a: {}}
    devices: {TX-1: {}, TX-2: {}, PK-1: {}, PK-2: {}, HH-3: {}, RX-3: {}}
    mixes: {vox: {for: vox, width: stereo}, g-a: {for: guest-a, width: mono}}
    links:
      vox: {kind: ear, tx: TX-1, feed: {stereo: vox}, packs: {PK-1: {person: vox}}}
      duo: {kind: ear, tx: TX-2, feed: {mono: g-a}, packs: {PK-2: {person: guest-a}}}
      gst: {kind: mic, mic: HH-3, rx: RX-3, person: guest-a}

Source: the plan's own lists; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.mixes import mixes
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.mixes_wording import lacking_mixes

RULE = Rule(severity="note", group="tidy", source="the plan's own lists")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person with a microphone and no mix made for them."""
    yield from lacking_mixes(plan)
    if not plan.links:
        yield Unchecked(("/links",))
    users: dict[str, list[Link]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and link.kind == "mic":
            if link.person is None or link.person not in plan.section("people"):
                yield Unchecked((f"{link.at}/person",), (name,))
            else:
                users.setdefault(link.person, []).append(link)
    served = {mix.person for mix in mixes(plan)}
    unknown = tuple(f"{mix.at}/for" for mix in mixes(plan) if mix.person is None)
    for person, links in sorted(users.items()):
        ears = plan.section("people").get(person, {}).get("ears")
        if person in served or ears == "none" or "mixes" not in plan.values:
            continue
        if unknown:
            yield Unchecked(unknown, tuple(link.id for link in links))
            continue
        yield Fault(
            f"{links[0].at}/person",
            f"{person} is on {', '.join(link.id for link in links)} and no mix is for {person}: plan what they hear, or "
            "write ears: none if they wear none.",
            (*(link.id for link in links), *(link.tx for link in links if link.tx)),
            {"person": person},
        )
