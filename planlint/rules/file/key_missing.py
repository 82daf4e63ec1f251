"""A key without which its entry says nothing.

What goes wrong: a link without its kind, a waiver without its rule, a venue that names no tour. What depends
on it cannot be checked.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {carrier_mhz: 505.300}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}

Source: the plan format's JSON Schema (`planlint schema plan`).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="schemas/plan.schema.json", waivable=False, on="file")

_USES = {"venue": "the tour's file, like [../tour.yaml]", "as-set": "the venue's file, like [../venues/harbour.yaml]"}


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each required key that is not written."""
    for trouble in of(judged, "key-missing"):
        key = trouble.get("key")
        wants = _USES.get(judged.kind, "") if key == "uses" else trouble.get("wants")
        owner = trouble.path.rpartition(".")[0] or "this file"
        yield trouble.fault(f"{owner} needs '{key}': {wants}.", fix=f"add {key}: …")
