"""A waiver that silences nothing.

What goes wrong: the carriers moved, the waiver stayed; the day the fault comes back it is silent. Also reported:
a waiver that may not cover what it is about (law that was read, a broken file, a live TV channel without a
route). A tour's waiver is judged only when every venue that uses the file was read.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 507.575}}
    waivers:
      - {rule: spacing-too-close, covers: [vox, gtr], because: both heard clean all spring, by: monitors}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.650}}
    waivers:
      - {rule: spacing-too-close, covers: [vox, gtr], because: both heard clean all spring, by: monitors}

Source: the plan format's waivers.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault, Unchecked
from planlint.rules.base import NoOptions, Rule
from planlint.rules.waivers_view import Outcomes

RULE = Rule(severity="note", group="tidy", source="the plan format's waivers", on="waivers")


def check(together: Outcomes, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for a waiver that no finding of any plan matches, or that may not cover what it matches."""
    first = together.outcomes[0].waiver
    refused = next((outcome.refused for outcome in together.outcomes if outcome.refused), None)
    who = ", ".join(first.covers)
    if refused:
        yield Fault(first.at, f"the waiver of {first.rule} for {who} covers nothing: {refused}.", first.covers)
    elif any(outcome.matched for outcome in together.outcomes):
        return
    elif not together.complete:
        yield Unchecked((first.at,), first.covers)
    elif any(outcome.in_force for outcome in together.outcomes):
        yield Fault(
            first.at,
            f"the waiver of {first.rule} for {who} matches nothing now: delete it, or it will hide the next such fault.",
            first.covers,
            fix="delete the waiver",
        )
