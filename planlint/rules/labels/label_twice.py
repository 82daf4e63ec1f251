"""Two units of one kind with one label.

What goes wrong: two packs say SPARE, and the one handed to the singer is set to the drummer's carrier. Both ends of a
link may bear one name; two packs, or two receivers, may not.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack}}
    devices: {PK-S: {model: pack-n, label: SPARE}, PK-T: {model: pack-n, label: SPARE}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack}}
    devices: {PK-S: {model: pack-n, label: S1}, PK-T: {model: pack-n, label: S2}}

Letter case and extra spaces are not counted: a display shows them anyhow.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.labels import Labelled, labelled, plain
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.label_wording import lacking_kinds, lacking_labels

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each label that several units of one kind bear."""
    yield from lacking_labels(plan)
    yield from lacking_kinds(plan)
    together: dict[tuple[str, str], list[Labelled]] = {}
    for item in labelled(plan):
        if item.kind is not None:
            together.setdefault((item.kind, plain(item.label)), []).append(item)
    for _, items in sorted(together.items()):
        if len(items) > 1:
            first, *others = items
            names = ", ".join(item.device.id for item in items)
            yield Fault(
                f"{first.device.at}/label",
                f"{names}: every {first.word} of these says '{first.label}'. Give each its own label, on the unit and on its "
                "display, and put the same at the other end of its link.",
                with_links(plan, [item.device.id for item in items]),
                {"label": first.label, "units": len(items)},
                tuple(Mark(f"{item.device.at}/label", f"{item.device.id} says so too") for item in others),
            )
