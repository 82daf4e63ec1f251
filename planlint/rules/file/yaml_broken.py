"""The file is no YAML, so nothing in it can be read.

What goes wrong: a bracket is open, a colon is missing or the file cannot be opened. Nothing in it was
checked, and nothing that uses it was checked either.

Bad::

    plan_format: 1
    kind: plan
    links: {vox: {kind: ear, carrier_mhz: 505.300}

Good::

    plan_format: 1
    kind: plan
    links: {vox: {kind: ear, carrier_mhz: 505.300}}

Source: YAML 1.2.2 (yaml.org/spec/1.2.2), chapter 3; the exit code is this format's.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="YAML 1.2.2", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault where the text gives no node tree."""
    for trouble in of(judged, "yaml-broken"):
        yield trouble.fault(
            f"not readable as YAML from here on: {trouble.get('what')}. Nothing in this file was checked.",
            fix="look at this line and the one above it: an open bracket or quote, or a missing colon",
        )
