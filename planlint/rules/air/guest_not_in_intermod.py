"""Somebody else is on the air, and their carrier is not written.

What goes wrong: the guest's two ear units are in the same sums as ours, whether we know their carriers or not;
what is not written makes no product and no collision here, and all of them on the night.

Bad::

    plan_format: 1
    kind: plan
    spectrum: {others_on_air: {guest-ears: {kind: ear, who: the guest's engineer}}}

Good::

    plan_format: 1
    kind: plan
    spectrum: {others_on_air: {guest-ears: {kind: ear, who: the guest's engineer, carrier_mhz: 532.050}}}

A set that picks its own carrier (`self_tuned`) has none to write and is left out.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each entry of others_on_air without a carrier."""
    if "others_on_air" not in plan.section("spectrum"):
        yield Unchecked(("/spectrum/others_on_air",))
        return
    for name in sorted(plan.others):
        other = plan.others[name]
        if other.carrier_hz is None and other.self_tuned is None:
            ask = other.who or "whoever runs it"
            yield Fault(
                other.at,
                f"{name} is on the air and has no carrier in the plan: it is in no spacing and no intermodulation sum. "
                f"Ask {ask} for carrier and width and write carrier_mhz; until then nobody knows whose link it hits.",
                (name,),
                key=True,
            )
