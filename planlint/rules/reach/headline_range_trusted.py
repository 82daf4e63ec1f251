"""The range on the box, used as the plan.

What goes wrong: the maker's figure is an open field without bodies. A third of it is what a stage gives.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, headline_range_m: 90}}
    people: {vox: {does: lead singer}}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {person: vox}}}}
    reach: {vox: {farthest_m: 31}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, headline_range_m: 90}}
    people: {vox: {does: lead singer}}
    devices: {PK-1: {model: pack-n}}
    links: {ear-1: {kind: ear, packs: {PK-1: {person: vox}}}}
    reach: {vox: {farthest_m: 30}}

Source: common practice, no source (a third).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import ends
from planlint.facts.packs import main_packs
from planlint.facts.reach import Distance, distance
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"farthest_m": "higher"})

SHARE = 3


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person who walks farther than a third of a headline range on their link."""
    if "reach" not in plan.values:
        yield Unchecked(("/reach",))
        return
    if not any("headline_range_m" in model.spec for model in plan.models.values()):
        yield Unchecked(tuple(f"{model.at}/headline_range_m" for model in plan.models.values()) or ("/models",))
        return
    for name in sorted(plan.links):
        link = plan.links[name]
        models = {
            end.model.id: end.model for end in ends(plan, link) if end.model and "headline_range_m" in end.model.spec
        }
        if not link.used or not models:
            continue
        model = min(models.values(), key=lambda model: (model.spec["headline_range_m"], model.id))
        headline = float(model.spec["headline_range_m"])
        people = {pack.person for pack in main_packs(link)} | {link.person}
        for person in sorted(person for person in people if person):
            far = distance(plan, person)
            if isinstance(far, Distance) and far.metres * SHARE > headline:
                yield Fault(
                    far.at,
                    f"{name}: {person} at {far.metres:g} m, more than a third of {model.id}'s {headline:g} m, an open-field figure. Plan "
                    f"{headline / SHARE:.0f} m: bring the antenna nearer, or reckon the margin.",
                    (name,),
                    {"farthest_m": far.metres, "headline_m": headline},
                    (Mark(f"{model.at}/headline_range_m", "the figure on the box"),),
                )
