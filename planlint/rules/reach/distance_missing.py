"""No walk distance for somebody who wears a pack or holds a microphone.

What goes wrong: the margin is reckoned for the default distance, and the drummer's riser is not where the singer's thrust
is. Pace it once. Speaks only where `reach` is written.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}, drums: {does: drums}}
    devices: {PK-1: {}, PK-2: {}}
    links:
      ear-1: {kind: ear, packs: {PK-1: {person: vox}}}
      ear-2: {kind: ear, packs: {PK-2: {person: drums}}}
    reach: {vox: {farthest_m: 18}}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}, drums: {does: drums}}
    devices: {PK-1: {}, PK-2: {}}
    links:
      ear-1: {kind: ear, packs: {PK-1: {person: vox}}}
      ear-2: {kind: ear, packs: {PK-2: {person: drums}}}
    reach: {default_m: 9, vox: {farthest_m: 18}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import main_packs
from planlint.facts.reach import Distance, distance
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person on a link for whom neither an own nor a default distance is written."""
    if "reach" not in plan.values:
        yield Unchecked(("/reach",))
        return
    people: dict[str, str] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and link.kind in {"ear", "mic"}:
            for person in (link.person, *(pack.person for pack in main_packs(link))):
                if person is not None:
                    people.setdefault(person, name)
    for person, name in sorted(people.items()):
        if not isinstance(distance(plan, person), Distance):
            yield Fault(
                "/reach",
                f"no walk distance for {person} ({name}) and no default: pace it and write reach.{person}.farthest_m, or "
                "reach.default_m for everybody.",
                (name,),
                {"person": person},
                key=True,
            )
