"""Worse now than what was accepted.

What goes wrong: 300 kHz of spacing was accepted with a reason; tonight it is 250. The waiver then covers
nothing and says so itself.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.550}}
    waivers:
      - rule: spacing-too-close
        covers: [vox, gtr]
        because: both heard clean all spring
        by: monitors
        accept: {spacing_khz: 300}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.600}}
    waivers:
      - rule: spacing-too-close
        covers: [vox, gtr]
        because: both heard clean all spring
        by: monitors
        accept: {spacing_khz: 300}

Source: the plan format's waivers; which direction is worse stands on each rule's page.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.waivers_view import Outcomes

RULE = Rule(severity="error", group="link", source="the plan format's waivers", waivable=False, on="waivers")


def check(together: Outcomes, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each accepted value that a finding exceeds."""
    for outcome in together.outcomes:
        waiver = outcome.waiver
        for worse in outcome.exceeded:
            yield Fault(
                f"{waiver.at}/accept/{worse.name}",
                f"{worse.name} {worse.accepted} was accepted for {waiver.rule} on {', '.join(waiver.covers)}; now it is "
                f"{worse.now}. The waiver covers nothing: put the fault right, or accept it anew with a reason.",
                waiver.covers,
                {worse.name: worse.now, "accepted": worse.accepted},
            )
