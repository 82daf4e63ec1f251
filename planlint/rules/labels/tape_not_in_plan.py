"""Tape or a sticker on a unit that says something else than the plan.

What goes wrong: the hired pack still bears the last band's tape. In the dark the tape is read and the display is not, and
somebody puts it on the wrong belt.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-S: {label: SPARE}}
    found: {PK-S: {tape: MD}}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-S: {label: SPARE}}
    found: {PK-S: {tape: spare}}

Case and repeated spaces make no difference.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.as_set import records
from planlint.facts.labels import plain
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.found_wording import lacking_record, subjects

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit with tape on it that does not bear the plan's label."""
    yield from lacking_record(plan)
    for found in records(plan):
        if found.tape is None:
            continue
        label = plan.devices[found.unit].spec.get("label")
        if label is None:
            yield Unchecked((f"{plan.devices[found.unit].at}/label",), subjects(plan, found))
        elif plain(found.tape) != plain(str(label)):
            yield Fault(
                f"{found.at}/tape",
                f"{found.unit} bears tape that says '{found.tape}', the plan calls it '{label}'. Peel it off and tape it anew "
                "before somebody grabs it.",
                subjects(plan, found),
                {"tape": found.tape, "label": str(label)},
                (Mark(f"{plan.devices[found.unit].at}/label", "the plan's label"),),
            )
