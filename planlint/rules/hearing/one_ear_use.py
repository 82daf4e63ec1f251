"""Somebody who wears one ear only.

What goes wrong: the free ear hears the stage, the other is turned up against it, and the ear that is meant to be
looked after gets the most. Both in, with the room in the mix.

Bad::

    plan_format: 1
    kind: plan
    people: {drums: {ears: moulded, wears_one_ear: true}}
    devices: {TX-5: {}, PK-5: {}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {person: drums}}}}

Good::

    plan_format: 1
    kind: plan
    people: {drums: {ears: moulded, wears_one_ear: false}}
    devices: {TX-5: {}, PK-5: {}}
    links: {drums: {kind: ear, tx: TX-5, packs: {PK-5: {person: drums}}}}

Where there is a reason in the ear itself, a hearing professional is the one to ask; a waiver says so.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.ears import wearer
from planlint.facts.packs import ear_links, main_packs
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_packs

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person with a pack of whom the plan says that they wear one ear only."""
    yield from lacking_packs(plan)
    packs: dict[str, list[tuple[Link, Pack]]] = {}
    for link in ear_links(plan):
        for pack in main_packs(link):
            person = wearer(plan, link, pack)
            if isinstance(person, str):
                packs.setdefault(person, []).append((link, pack))
            else:
                yield Unchecked(person, (link.id, pack.id))
    for person, worn in sorted(packs.items()):
        spec, at = plan.section("people").get(person, {}), f"/people/{escape(person)}/wears_one_ear"
        ids = tuple(dict.fromkeys(name for link, pack in worn for name in (link.id, pack.id)))
        if spec.get("ears") == "none":
            continue
        if "wears_one_ear" not in spec:
            yield Unchecked((at,), ids)
        elif spec["wears_one_ear"]:
            yield Fault(
                at,
                f"{person} wears one ear only ({joined([pack.id for _, pack in worn])}): the free ear hears the stage and the "
                "other is turned up against it. Wear both, with microphones of the room in the mix, and start low. Where the "
                "ear itself is the reason, a hearing professional is the one to ask.",
                ids,
                {"person": person},
                tuple(Mark(pack.at, f"{pack.id} is theirs", key=True) for _, pack in worn),
            )
