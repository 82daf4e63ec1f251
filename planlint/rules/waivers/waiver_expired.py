"""A waiver past its last day.

What goes wrong: what was accepted for the spring run silences a finding in autumn. An expired waiver covers
nothing; its last day still counts.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us, date: "2026-07-04"}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.650}}
    waivers:
      - {rule: spacing-too-close, covers: [vox, gtr], because: both heard clean all spring, by: monitors, until: "2026-06-30"}

Good::

    plan_format: 1
    kind: plan
    show: {region: us, date: "2026-06-30"}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.650}}
    waivers:
      - {rule: spacing-too-close, covers: [vox, gtr], because: both heard clean all spring, by: monitors, until: "2026-06-30"}

Source: the plan format: `until` is inclusive against the show's date.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault, Unchecked
from planlint.rules.base import NoOptions, Rule
from planlint.rules.waivers_view import Outcomes

RULE = Rule(severity="warning", group="tidy", source="the plan format's waivers", on="waivers")


def check(together: Outcomes, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for a waiver whose last day is before a show's date."""
    for outcome in together.outcomes:
        waiver = outcome.waiver
        if waiver.until is None:
            continue
        if outcome.date is None:
            yield Unchecked(("/show/date",), waiver.covers)
        elif not outcome.in_force:
            yield Fault(
                f"{waiver.at}/until",
                f"the waiver of {waiver.rule} for {', '.join(waiver.covers)} ended on {waiver.until}; the show is on "
                f"{outcome.date}. It covers nothing now: look at the finding again, then renew or delete it.",
                waiver.covers,
                {"until": waiver.until, "date": outcome.date},
            )
