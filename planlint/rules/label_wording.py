"""What the rules about labels share: what is missing to judge them."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts.labels import labelled, on_links
from planlint.finding import Unchecked
from planlint.plan import Plan


def lacking_labels(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where units on links have no label."""
    if not plan.devices:
        yield Unchecked(("/devices",))
    have = {item.device.id for item in labelled(plan)}
    for name in sorted(on_links(plan) - have):
        yield Unchecked((f"{plan.devices[name].at}/label",), (name,))


def lacking_kinds(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where it is not known of what kind a labelled unit is."""
    for item in labelled(plan):
        if item.kind is None:
            yield Unchecked((f"{item.device.at}/model",), (item.device.id,))
