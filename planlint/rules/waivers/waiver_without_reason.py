"""A waiver that does not say why, or who says so.

What goes wrong: in June nobody knows why a finding is quiet. A reason of a dozen letters and a role cost ten
seconds. Without both the waiver covers nothing.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.650}}
    waivers:
      - {rule: spacing-too-close, covers: [vox, gtr], because: fine}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    spectrum: {tv_occupied: []}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, gtr: {kind: ear, carrier_mhz: 505.650}}
    waivers:
      - {rule: spacing-too-close, covers: [vox, gtr], because: both heard clean all spring, by: monitors}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.waivers_view import MIN_REASON, Outcomes, has_reason

RULE = Rule(severity="error", group="tidy", source="common practice, no source", waivable=False, on="waivers")


def check(together: Outcomes, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for a waiver without a reason or without a name."""
    for outcome in together.outcomes[:1]:
        waiver = outcome.waiver
        if has_reason(waiver):
            continue
        lacks = (
            "who accepted it (by)"
            if waiver.because and len(waiver.because.strip()) >= MIN_REASON
            else "a reason (because)"
        )
        yield Fault(
            waiver.at,
            f"the waiver of {waiver.rule} for {', '.join(waiver.covers)} does not give {lacks}: it covers nothing. Nobody "
            f"will know later why this is quiet. Write because (at least {MIN_REASON} letters) and by (a role).",
            waiver.covers,
        )
