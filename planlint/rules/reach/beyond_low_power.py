"""Low power past the rule-of-thumb distance, and no sum to say more.

What goes wrong: about 10 mW serves 6 to 9 m; beyond, only the sum can tell. Where the sum can be reckoned, it counts
(`link-margin-low`) and this rule is silent.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}}
    devices: {PK-1: {}}
    links: {ear-1: {kind: ear, packs: {PK-1: {person: vox}}, carrier_mhz: 505.300, power_mw: 10}}
    reach: {vox: {farthest_m: 18}}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}}
    devices: {PK-1: {}}
    links: {ear-1: {kind: ear, packs: {PK-1: {person: vox}}, carrier_mhz: 505.300, power_mw: 10}}
    reach: {vox: {farthest_m: 9}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.margin import NoMargin
from planlint.facts.packs import main_packs
from planlint.facts.reach import Distance, distance
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="note", group="margin", source="common practice, no source")

LOW_MW = 10.0
SERVES_M = 9.0


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link at low power whose person walks farther than that serves, where no sum exists."""
    if "reach" not in plan.values:
        yield Unchecked(("/reach",))
        return
    unsummed = {found.link for found in facts.margins if isinstance(found, NoMargin)}
    for name in sorted(unsummed):
        link = plan.links[name]
        if link.power_mw is None:
            yield Unchecked((f"{link.entry_at}/power_mw",), (name,))
            continue
        people = [pack.person for pack in main_packs(link)] if link.kind == "ear" else [link.person]
        for person in people:
            far = distance(plan, person)
            if isinstance(far, Distance) and link.power_mw <= LOW_MW and far.metres > SERVES_M:
                yield Fault(
                    far.at,
                    f"{name}: {far.metres:g} m at {link.power_mw:g} mW is past the usual 6 to {SERVES_M:g} m, and the margin cannot be "
                    "reckoned. Write what it needs (scans, models, antennas), or walk it with the pack on before doors.",
                    (name,),
                    {"farthest_m": far.metres, "power_mw": link.power_mw},
                )
