"""A venue file that changes what the tour decides: people, mixes, links, labels, limiters, policy.

What goes wrong: tonight's file quietly lifts a limiter or swaps a mix, and next week nobody knows which of the
two holds. A venue file lists what the show forces (spectrum, carriers, powers, antennas, the day); the rest
belongs in the tour file, by agreement.

Bad::

    # file: venue.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    carriers: {vox: {carrier_mhz: 505.300, label: VOX}}
    policy: {tv_guard_khz: 50}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {id: t, region: us}
    links: {vox: {kind: ear}}

Good::

    # file: venue.yaml
    plan_format: 1
    kind: venue
    uses: [tour.yaml]
    carriers: {vox: {carrier_mhz: 505.300}}
    # file: tour.yaml
    plan_format: 1
    kind: tour
    tour: {id: t, region: us}
    policy: {tv_guard_khz: 50}
    links: {vox: {kind: ear}}

Source: the plan format: what the tour decides and what the venue forces are in different files.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="the plan format's kinds", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each tour key in a venue file."""
    for trouble in of(judged, "venue-file-changes-tour"):
        key = trouble.get("key")
        yield trouble.fault(
            f"'{key}' is the tour's to decide: it belongs in the tour file, not in one show's. Nothing reads it here. "
            "(Another model for one night: write it under hired.)",
            fix=f"move {key} to the tour file",
        )
