"""A unit that shows another name than the plan gives it.

What goes wrong: the display still bears the last guest's name, so the pack is handed to the wrong person or passed over.
The name was changed on paper and not sent.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-7: {label: 7 KEYS}}
    found: {PK-7: {label: 7 GUEST}}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-7: {label: 7 KEYS}}
    found: {PK-7: {label: 7 KEYS}}

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
    """Yield a fault for each unit that was found with another label than the plan's."""
    yield from lacking_record(plan)
    for found in records(plan):
        label = plan.devices[found.unit].spec.get("label")
        if not found.known("label"):
            yield Unchecked((f"{found.at}/label",), subjects(plan, found))
            continue
        if label is None:
            yield Unchecked((f"{plan.devices[found.unit].at}/label",), subjects(plan, found))
            continue
        shown = str(found.fields["label"])
        if plain(shown) != plain(str(label)):
            yield Fault(
                f"{found.at}/label",
                f"{found.unit} shows '{shown}', the plan calls it '{label}'. Send or enter the name on {found.unit}, and see that "
                "the other end of its link shows the same.",
                subjects(plan, found),
                {"found": shown, "label": str(label)},
                (Mark(f"{plan.devices[found.unit].at}/label", "the plan's label"),),
            )
