"""A number that nobody means in this unit.

What goes wrong: 505300 in a `_mhz` key is kHz, 0.01 in a `_mw` key is watts. A slip of a factor of a thousand
would make every sum wrong.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505300}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}

Source: the plausible ranges in the plan format's JSON Schema; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(
    severity="error",
    group="file",
    source="ranges in schemas/plan.schema.json; common practice, no source",
    waivable=False,
    on="file",
)


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each number outside its unit's plausible range."""
    for trouble in of(judged, "unit-implausible"):
        meant, unit = trouble.get("meant"), trouble.get("unit")
        hint = f" {trouble.get('found')} {meant}" if meant else ""
        yield trouble.fault(
            f"{trouble.path}: {trouble.get('found')} {unit} is hardly meant (plausible: {trouble.get('range')} {unit}).{hint}"
            " It counts as unwritten.",
            fix=f"write the value in {unit}",
        )
