"""Anchors, aliases and merge keys hide what a unit is really set to.

What goes wrong: `*house` stands where a value should be. The diff of two weeks shows nothing while ten packs
changed, and nobody can read a pack's settings off its own lines.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: &one {kind: ear, carrier_mhz: 505.300}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}

Source: YAML 1.2.2 (yaml.org/spec/1.2.2), section 3.2.2.2, names them a detail of presentation; leaving them
out is this format's choice.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="YAML 1.2.2; the format's subset", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each anchor, alias and merge key."""
    for trouble in of(judged, "aliases-used"):
        yield trouble.fault(
            f"{trouble.get('what')} hides what is really set here: the diff must show it. Write the values out.",
            fix="copy the values to this place",
        )
