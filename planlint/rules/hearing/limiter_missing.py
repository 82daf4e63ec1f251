"""A pack whose limiter is off.

What goes wrong: a burst, a dropped microphone or a lost carrier goes to the eardrum at whatever the pack can
give. Unwritten is not checked; `none` is this finding. A limiter caps a level; it does not make a loud mix
harmless, and says nothing about what a whole evening adds up to.

Bad::

    plan_format: 1
    kind: plan
    people: {gtr: {}}
    devices: {TX-2: {}, PK-2: {}}
    pack_defaults: {limiter_db: -12}
    links: {gtr: {kind: ear, tx: TX-2, packs: {PK-2: {person: gtr, limiter_db: none}}}}

Good::

    plan_format: 1
    kind: plan
    people: {gtr: {}}
    devices: {TX-2: {}, PK-2: {}}
    pack_defaults: {limiter_db: -12}
    links: {gtr: {kind: ear, tx: TX-2, packs: {PK-2: {person: gtr}}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import setting, worn
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_packs, named, subjects, text

RULE = Rule(severity="error", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack, spares included, whose limiter is written as none."""
    yield from lacking_packs(plan)
    house = plan.section("pack_defaults").get("limiter_db")
    usual = "a limiter" if house in (None, "none") else f"{text(house)} dB, the house setting,"
    for link, pack in worn(plan):
        limiter = setting(plan, pack, "limiter_db")
        if limiter.value is None:
            yield Unchecked((limiter.at,), subjects(link, pack))
        elif limiter.value == "none":
            yield Fault(
                f"{pack.at}/limiter_db",
                f"{named(pack)} on {link.id} has no limiter: a burst or a lost carrier goes through at the pack's full "
                f"output. Set {usual} on {pack.id} before it goes on, and tell whoever wears it.",
                subjects(link, pack),
                {"limiter_db": "none"},
                house_mark(limiter),
            )
