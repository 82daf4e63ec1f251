"""Somebody on the list with no ears: no pack on any link.

What goes wrong: the list was last tour's, or the pack was given away. It shows at sound check. Whoever wears
none by choice is written `ears: none`; whoever's link is unused tonight is left out.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}, bass: {does: bass}}
    devices: {TX-1: {}, PK-1: {}}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox}}}}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}, tech: {does: backline, ears: none}}
    devices: {TX-1: {}, PK-1: {}}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox}}}}

Source: the plan's own lists; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.packs import main_packs
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="the plan's own lists")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person with no pack, where every pack's wearer is known."""
    if "people" not in plan.values:
        yield Unchecked(("/people",))
    if not plan.links:
        yield Unchecked(("/links",))
    links = [plan.links[name] for name in sorted(plan.links) if plan.links[name].kind == "ear"]
    if not links:
        return
    unknown = [f"{link.at}/packs" for link in links if "packs" not in link.spec]
    unknown += [f"{pack.at}/person" for link in links for pack in main_packs(link) if not pack.person]
    heard = {pack.person for link in links for pack in main_packs(link)}
    lost = [
        name
        for name, person in sorted(plan.section("people").items())
        if name not in heard and person.get("ears") != "none"
    ]
    if lost and unknown:
        yield Unchecked(tuple(unknown), tuple(lost))
        return
    for name in lost:
        mics = [link for link in plan.links.values() if link.person == name and link.used]
        yield Fault(
            f"/people/{escape(name)}",
            f"{name} has no pack on any link: no ears tonight. Hang a pack with person: {name} on a link and feed it a "
            "mix, or write ears: none if that is meant.",
            tuple(sorted(link.id for link in mics)) or (name,),
            {"person": name},
            key=True,
        )
