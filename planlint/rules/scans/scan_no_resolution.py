"""A scan that does not say how wide its filter was.

What goes wrong: a level is a power within the resolution bandwidth. -83 dBm in 100 kHz of flat noise are -80 dBm in
200 kHz: on the line, not 3 dB under it. Without `resolution_khz` no floor can be judged.

Bad::

    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear}}

Good::

    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100}}

Source: noise power is proportional to bandwidth (flat noise: 10 log10 of the ratio); closed form.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import heading

RULE = Rule(severity="warning", group="margin", source="definition of noise power")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan without a resolution bandwidth."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
    for scan in facts.scans.all:
        if scan.resolution_hz is None:
            also = (
                "" if "detector" in scan.spec else ", and the detector if it is known: a peak reads noise some dB high"
            )
            yield Fault(
                scan.at,
                f"{heading(scan)} has no resolution_khz: its levels cannot be held against the "
                f"floor lines, for noise reads 3 dB more in twice the width. Write what the analyser was set to{also}.",
                (scan.id,),
                fix="write resolution_khz",
                key=True,
            )
