"""A listening list that lacks a link on the air.

What goes wrong: the engineer cannot listen in on the one who complains. The list of a pack that has one holds
every in-ear link that is on the air during the day, save the pack's own.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, TX-6: {}, TX-7: {}, PK-1: {}, PK-6: {}, PK-7: {}}
    links:
      vox: {kind: ear, tx: TX-1, packs: {PK-1: {}}}
      duo: {kind: ear, tx: TX-7, packs: {PK-7: {}}}
      tech: {kind: ear, tx: TX-6, packs: {PK-6: {listens_to: [vox]}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, TX-6: {}, TX-7: {}, PK-1: {}, PK-6: {}, PK-7: {}}
    links:
      vox: {kind: ear, tx: TX-1, packs: {PK-1: {}}}
      duo: {kind: ear, tx: TX-7, packs: {PK-7: {}}}
      tech: {kind: ear, tx: TX-6, packs: {PK-6: {listens_to: [vox, duo]}}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import ear_links, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined, lacking_packs, named, subjects

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each listening list that lacks an in-ear link of the day."""
    yield from lacking_packs(plan)
    listening = [(link, pack) for link, pack in worn(plan) if pack.listens_to is not None]
    packs = list(worn(plan))
    if packs and not listening:
        yield Unchecked(tuple(f"{pack.at}/listens_to" for _, pack in packs))
    on_air = frozenset().union(*facts.present)
    heard = [link.id for link in ear_links(plan) if link.id in on_air]
    for link, pack in listening:
        missing = [name for name in heard if name != link.id and name not in (pack.listens_to or ())]
        if missing:
            names = joined(missing)
            yield Fault(
                f"{pack.at}/listens_to",
                f"{named(pack)} cannot listen to {names}: whoever minds the mixes will not hear what goes wrong there. "
                f"Add {names} to the list in the plan and enter {'its carrier' if len(missing) == 1 else 'their carriers'} on {pack.id}.",
                (*subjects(link, pack), *missing),
                {"missing": len(missing), "links": names},
                tuple(Mark(plan.links[name].at, f"{name} is on the air", key=True) for name in missing),
                key=True,
            )
