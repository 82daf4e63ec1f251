"""A mention of something that is not in the plan.

What goes wrong: a link sends from TX-9, but no unit is called that. The link counts as without a transmitter,
and what needs one is not checked. A file named under `uses` that does not exist is the same fault.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}}
    links: {mic-1: {kind: mic, person: voxx}}

Good::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}}
    links: {mic-1: {kind: mic, person: vox}}

Source: the plan format: ids name what is defined in the plan.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="the plan format's ids", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each id that nothing defines."""
    for trouble in of(judged, "unknown-id"):
        near, space, name = trouble.get("near"), trouble.get("space"), trouble.get("id")
        hint = f" Did you mean {near}?" if near else ""
        where = "there is no such file" if space == "file" else f"nothing under {space} is called that"
        yield trouble.fault(
            f"'{name}': {where}.{hint}", fix=f"write {near}" if near else "define it, or correct the name"
        )
