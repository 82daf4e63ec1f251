"""What the tuning rules need, and what is missing for them."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import ends
from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link


def judged(plan: Plan) -> Iterator[tuple[Link, int]]:
    """Yield each link used tonight that has a carrier, with the carrier in Hz."""
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and link.carrier_hz is not None:
            yield link, link.carrier_hz


def lacking(plan: Plan, facts: Facts, *, step: bool = False) -> Iterator[Unchecked]:
    """Yield what is missing for judging each unit of each link by its tuning ranges (and steps)."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used:
            continue
        if not link.wants_carrier:
            continue
        if name not in facts.carriers:
            yield Unchecked((link.carrier_at,), (name,))
        found = list(ends(plan, link))
        if not found:
            key = "mic" if link.kind == "mic" else "tx"
            yield Unchecked((f"{link.at}/{key}",), (name,))
        for end in found:
            if end.model is None:
                yield Unchecked((f"/devices/{end.device}/model",), (name, end.device))
            elif not end.model.tuning:
                yield Unchecked((f"{end.model.at}/tuning_mhz",), (name, end.device))
            elif step and not end.model.step_hz:
                yield Unchecked((f"{end.model.at}/step_khz",), (name, end.device))
