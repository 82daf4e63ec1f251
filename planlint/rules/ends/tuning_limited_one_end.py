"""One end of a link limited to its user groups, the other open to any carrier.

What goes wrong: the open end takes whatever is entered; some units then refuse a carrier outside the stored set
without saying why, and at five to eight nobody remembers the limit. Packs that only listen to a link are judged
by carrier-not-in-group alone.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-4: {may_tune: any}, PK-4: {}}
    pack_defaults: {may_tune: stored}
    links: {keys: {kind: ear, tx: TX-4, packs: {PK-4: {}}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-4: {may_tune: any}, PK-4: {}}
    pack_defaults: {may_tune: any}
    links: {keys: {kind: ear, tx: TX-4, packs: {PK-4: {}}}}

Source: common practice, no source: both ends have the same access limit.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.settings import Unit, missing_ends, units
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link whose units are limited in different ways."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.wants_carrier:
            continue
        found = units(plan, link, "may_tune")
        missing = (*missing_ends(plan, link), *(unit.setting.at for unit in found if unit.setting.value is None))
        if missing:
            yield Unchecked(missing, (name,))
        limited = [unit for unit in found if unit.setting.value == "stored"]
        free = [unit for unit in found if unit.setting.value == "any"]
        if limited and free:
            yield _fault(link, limited, free)


def _fault(link: Link, limited: list[Unit], free: list[Unit]) -> Fault:
    tight, loose = _names(limited), _names(free)
    plural = len(limited) > 1
    return Fault(
        limited[0].setting.at,
        f"{link.id}: {tight} tune{'' if plural else 's'} only what {'their' if plural else 'its'} user groups hold, {loose} any "
        f"carrier: some units refuse a carrier that is not stored without saying why. Open {tight}, or limit {loose} "
        "too and store the carrier in all of them.",
        (link.id, *(unit.end.device for unit in (*limited, *free))),
        {"limited": tight, "open": loose},
        tuple(Mark(unit.setting.at, f"{unit.end.device}: {unit.setting.value}") for unit in (*limited[1:], *free)),
    )


def _names(found: list[Unit]) -> str:
    return joined(unit.end.device for unit in found)
