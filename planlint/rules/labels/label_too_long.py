"""A label that its display cuts off.

What goes wrong: the plan says `7L GUEST-A`, the display shows `7L GUEST`, and so does the other guest's. Whoever
reads the units sees other names than whoever reads the sheet.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, display_chars: 8}}
    devices: {PK-7L: {model: pack-n, label: 7L GUEST-A}}

Good::

    plan_format: 1
    kind: plan
    models: {pack-n: {role: ear-pack, display_chars: 8}}
    devices: {PK-7L: {model: pack-n, label: 7L GST A}}

Source: the models' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.labels import Labelled, labelled, plain
from planlint.facts.unit_links import with_links
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.label_wording import lacking_labels

RULE = Rule(severity="note", group="tidy", source="the models' data sheets", accept={"chars": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each label with more characters than its unit's display shows."""
    yield from lacking_labels(plan)
    items = list(labelled(plan))
    for item in items:
        model = item.device.model
        if model is None or "display_chars" not in model.spec:
            at = f"{item.device.at}/model" if model is None else f"{model.at}/display_chars"
            yield Unchecked((at,), (item.device.id,))
        elif len(item.label) > model.spec["display_chars"]:
            yield _fault(plan, item, int(model.spec["display_chars"]), items)


def _fault(plan: Plan, item: Labelled, chars: int, items: list[Labelled]) -> Fault:
    assert item.device.model is not None
    shown = item.label[:chars].rstrip()
    same = [
        other
        for other in items
        if other.device != item.device and other.kind == item.kind and _shows(other) == plain(shown)
    ]
    also = f", and so does {', '.join(other.device.id for other in same)}" if same else ""
    return Fault(
        f"{item.device.at}/label",
        f"{item.device.id}: '{item.label}' has {len(item.label)} characters, its display shows {chars}: it reads '{shown}'{also}. "
        "Shorten it here, on the unit and at the other end of its link.",
        with_links(plan, [item.device.id]),
        {"chars": len(item.label), "display_chars": chars, "shown": shown},
        (
            Mark(f"{item.device.model.at}/display_chars", "its display"),
            *(Mark(f"{other.device.at}/label", f"{other.device.id} reads the same") for other in same),
        ),
    )


def _shows(item: Labelled) -> str:
    """Return what a unit's display shows of its label, as an eye reads it."""
    chars = item.device.model.spec.get("display_chars") if item.device.model else None
    return plain(item.label if chars is None else item.label[: int(chars)])
