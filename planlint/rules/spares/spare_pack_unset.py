"""A spare pack that is not set to the carrier of the pack it stands in for, or to nobody's.

What goes wrong: the spare is handed up on stage and hears nothing, because it lives on another link than the singer's, or
on none. A spare stands under the link of the pack it stands in for, so that it follows that link's carrier.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-1: {}, PK-2: {}, PK-S: {}}
    links:
      ear-1: {kind: ear, packs: {PK-1: {}}}
      ear-2: {kind: ear, packs: {PK-2: {}, PK-S: {stands_in_for: PK-1}}}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-1: {}, PK-2: {}, PK-S: {}}
    links:
      ear-1: {kind: ear, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}
      ear-2: {kind: ear, packs: {PK-2: {}}}

A pack that is stored in a user group and is on no link is reported too. One that nothing names is device-unused.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.groups import holders
from planlint.facts.packs import worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_packs

RULE = Rule(severity="warning", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each spare pack on none of the links of the pack it stands in for, and each on no link."""
    yield from lacking_packs(plan)
    homes: dict[str, list[Link]] = {}
    for name in sorted(plan.links):
        for pack in plan.links[name].packs:
            if pack.stands_in_for is None:
                homes.setdefault(pack.id, []).append(plan.links[name])
    for link, pack in worn(plan):
        main = pack.stands_in_for
        if main is None or main not in homes or link.id in {home.id for home in homes[main]}:
            continue
        yield _elsewhere(link, pack, homes[main][0])
    on_links = {pack.id for link in plan.links.values() for pack in link.packs}
    stored = {unit for group in plan.section("groups") for unit in holders(plan, group) or ()}
    for unit in sorted((stored & plan.devices.keys()) - on_links):
        model = plan.devices[unit].model
        if model is not None and model.role == "ear-pack":
            yield _nowhere(plan, unit)


def _elsewhere(link: Link, pack: Pack, home: Link) -> Fault:
    return Fault(
        f"{pack.at}/stands_in_for",
        f"{pack.id} stands in for {pack.stands_in_for}, which is on {home.id}, and is set to {link.id}'s carrier. Put it under "
        f"{home.id}, and enter that carrier on it.",
        (pack.id, str(pack.stands_in_for), link.id, home.id),
        {"pack": pack.id, "link": link.id, "home": home.id},
        (Mark(f"{home.at}/packs", f"{pack.stands_in_for} is on {home.id}", key=True),),
    )


def _nowhere(plan: Plan, unit: str) -> Fault:
    return Fault(
        plan.devices[unit].at,
        f"{unit} holds the user group's carriers and is set to nobody's: in the dark it plays nothing. Put it under a link with "
        "stands_in_for, and enter that link's carrier on it.",
        (unit,),
        {"pack": unit},
        key=True,
    )
