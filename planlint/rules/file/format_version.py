"""A plan of a newer format than this planlint reads.

What goes wrong: a newer format may say things that this version does not know, so it judges nothing rather
than half of it.

Bad::

    plan_format: 2
    kind: plan

Good::

    plan_format: 1
    kind: plan

Source: the plan format: `plan_format` is its version.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="the plan format's version", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault where the format is newer than this tool."""
    for trouble in of(judged, "format-version"):
        yield trouble.fault(
            f"this file is plan format {trouble.get('found')}, this planlint reads {trouble.get('reads')}: nothing in it "
            "was checked. Update planlint.",
            fix="update planlint",
        )
