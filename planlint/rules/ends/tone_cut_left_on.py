"""A tone cut in a pack that departs from the house setting without a reason.

What goes wrong: a guest had the lows cut; the pack went back to the shelf and is the bass player's tonight.

Bad::

    plan_format: 1
    kind: plan
    people: {bass: {}}
    devices: {TX-3: {}, PK-3: {}}
    pack_defaults: {low_cut_hz: none, high_cut_khz: none}
    links: {bass: {kind: ear, tx: TX-3, packs: {PK-3: {person: bass, low_cut_hz: 120}}}}

Good::

    plan_format: 1
    kind: plan
    people: {bass: {}}
    devices: {TX-3: {}, PK-3: {}}
    pack_defaults: {low_cut_hz: none, high_cut_khz: none}
    links:
      bass:
        kind: ear
        tx: TX-3
        packs: {PK-3: {person: bass, low_cut_hz: 30, because: bass asked for it}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import reason, setting, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_packs, named, subjects, text, value, who

RULE = Rule(severity="warning", group="tidy", source="common practice, no source")

_CUTS = {"low_cut_hz": ("low cut", "Hz"), "high_cut_khz": ("high cut", "kHz")}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each cut that is on, differs from the house setting, and has no reason."""
    yield from lacking_packs(plan)
    house = plan.section("pack_defaults")
    for link, pack in worn(plan):
        for key in _CUTS:
            cut = setting(plan, pack, key)
            if cut.value is None or (cut.value != "none" and house.get(key) is None):
                yield Unchecked((f"/pack_defaults/{key}",), subjects(link, pack))
            elif cut.value not in ("none", house.get(key)) and reason(link, pack) is None:
                yield _fault(plan, link, pack, key)


def _fault(plan: Plan, link: Link, pack: Pack, key: str) -> Fault:
    name, unit = _CUTS[key]
    usual = plan.section("pack_defaults")[key]
    house = "none" if usual == "none" else f"{text(usual)} {unit}"
    return Fault(
        f"{pack.at}/{key}",
        f"{named(pack)} has a {name} of {text(pack.own[key])} {unit}, the house setting is {house}, and no reason is "
        f"written: {who(pack)} may miss what it takes away. Set {pack.id} to {house}, or write because.",
        subjects(link, pack),
        {key: value(pack.own[key]), f"house_{key}": value(usual)},
        (Mark(f"/pack_defaults/{key}", "the house setting"),),
    )
