"""A quantity without its unit.

What goes wrong: `power: 10`, of what? One reads milliwatts, the other dBm. Every quantity's key ends in its unit.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300, power: 10}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300, power_mw: 10}

Source: the plan format: a quantity's key ends in its unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="the plan format's units", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each key that only lacks its unit."""
    for trouble in of(judged, "unit-missing"):
        meant = trouble.get("meant")
        yield trouble.fault(
            f"'{trouble.get('key')}' of what? Write {meant}, in {trouble.get('unit')}. It counts as unwritten.",
            fix=f"write {meant}",
        )
