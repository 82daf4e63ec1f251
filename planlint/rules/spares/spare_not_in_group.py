"""A spare carrier that limited units do not hold.

What goes wrong: the packs tune only what their user groups store; the spare is not stored, so in the two minutes there
are nobody can be moved to it. Every unit on links of the spare's kind that is limited (`may_tune: stored`) holds every
spare of that kind.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-2: {may_tune: stored}, PK-2: {}}
    pack_defaults: {may_tune: stored}
    groups: {G1: {stored_in: [TX-2, PK-2], carriers_mhz: {1: 504.275}}}
    links: {gtr: {kind: ear, tx: TX-2, packs: {PK-2: {}}}}
    spares_mhz: {ear: [502.700]}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-2: {may_tune: stored}, PK-2: {}}
    pack_defaults: {may_tune: stored}
    groups: {G1: {stored_in: [TX-2, PK-2], carriers_mhz: {1: 504.275, 2: 502.700}}}
    links: {gtr: {kind: ear, tx: TX-2, packs: {PK-2: {}}}}
    spares_mhz: {ear: [502.700]}

Source: what the plan says of each unit; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.groups import held_by, unknown_holders
from planlint.facts.settings import missing_ends, units
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Spare
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.spare_wording import KIND_WORDS, lacking_spares, links_of_kind, spares_of

RULE = Rule(severity="warning", group="margin", source="what the plan says of each unit")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each spare with the limited units of its kind that do not hold it."""
    yield from lacking_spares(plan)
    for kind in KIND_WORDS:
        spares = spares_of(plan, kind)
        limited: dict[str, str] = {}
        for link in links_of_kind(plan, kind) if spares else ():
            found = units(plan, link, "may_tune")
            missing = (*missing_ends(plan, link), *(unit.setting.at for unit in found if unit.setting.value is None))
            if missing:
                yield Unchecked(missing, (link.id,))
            limited.update((unit.end.device, unit.setting.at) for unit in found if unit.setting.value == "stored")
        if limited and "groups" not in plan.values:
            yield Unchecked(("/groups",), tuple(sorted(limited)))
            continue
        unknown = unknown_holders(plan)
        for spare in spares:
            without = [name for name in sorted(limited) if not _holds(plan, name, spare)]
            if without and unknown:
                yield Unchecked(unknown, tuple(without))
            elif without:
                yield _fault(spare, without, limited)


def _holds(plan: Plan, unit: str, spare: Spare) -> bool:
    return any(stored.carrier_hz == spare.carrier_hz for stored in held_by(plan, unit))


def _fault(spare: Spare, without: list[str], limited: dict[str, str]) -> Fault:
    names = joined(without)
    return Fault(
        spare.at,
        f"spare {mhz(spare.carrier_hz)} is not stored in {names}, which tune{'s' if len(without) == 1 else ''} nothing else. Store it in "
        "a user group of all of them, at both ends, or open them to any carrier.",
        tuple(without),
        {"spare_mhz": mhz(spare.carrier_hz), "units": len(without)},
        tuple(Mark(limited[name], f"{name} is limited here") for name in without[:3]),
    )
