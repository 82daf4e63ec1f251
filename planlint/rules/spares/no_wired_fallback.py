"""People who have nothing to fall back on when the wireless fails.

What goes wrong: the drummer sits still all night on a radio link, and when it drops the song stops. A wired box there is
the best spare there is; a wedge that is muted does for a singer.

Bad::

    plan_format: 1
    kind: plan
    people: {drums: {does: drums}}
    devices: {PK-5: {}}
    links: {ear-5: {kind: ear, packs: {PK-5: {person: drums}}}}
    fallback: {}

Good::

    plan_format: 1
    kind: plan
    people: {drums: {does: drums}}
    devices: {PK-5: {}}
    links: {ear-5: {kind: ear, packs: {PK-5: {person: drums}}}}
    fallback: {drums: wired box beside the drums}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import ear_links, main_packs
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_packs

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield one fault for the people with packs for whom no fallback is written."""
    yield from lacking_packs(plan)
    if "fallback" not in plan.values:
        yield Unchecked(("/fallback",))
        return
    packs = {pack.person: (link.id, pack.id) for link in ear_links(plan) for pack in main_packs(link) if pack.person}
    without = sorted(person for person in packs if person not in plan.section("fallback"))
    if without:
        yield Fault(
            "/fallback",
            f"{joined(without)} {'has' if len(without) == 1 else 'have'} nothing to fall back on when the wireless fails. Whoever sits "
            "or stands still: a wired box; the others: a wedge that is muted, or say what they do.",
            tuple(name for person in without for name in packs[person]),
            {"people": ", ".join(without)},
            key=True,
        )
