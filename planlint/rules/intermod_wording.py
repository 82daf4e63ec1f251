"""What the four intermodulation rules share: one relation is one fault, at the carrier of its first id."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.relations import Named
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import Worse

ACCEPT: dict[str, Worse] = {"offset_khz": "lower"}


def judge(plan: Plan, facts: Facts, kind: str) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each relation of one kind, or what is missing to find them."""
    lacking = tuple(name for name in sorted(plan.links) if plan.links[name].used and name not in facts.carriers)
    if lacking:
        yield Unchecked(tuple(plan.links[name].carrier_at for name in lacking), lacking)
    for named in facts.relations:
        if named.kind == kind:
            yield _fault(plan, facts, named)


def _fault(plan: Plan, facts: Facts, named: Named) -> Fault:
    first = named.ids[0]
    exact = "meets exactly" if named.offset_hz == 0 else f"meets within {khz(named.offset_hz)} kHz"
    ours = [name for name in named.ids if name in plan.links]
    return Fault(
        facts.carrier_at(first),
        f"{named.text} {exact} (limit {khz(named.limit_hz)}): {_victims(named)}. Move {'one of ' * (len(ours) > 1)}"
        f"{', '.join(ours)}: its transmitter, every pack or receiver on it, and every listening list.",
        subjects=named.ids,
        values={
            "relation": named.text,
            "offset_khz": named.offset_khz,
            "limit_khz": khz_number(named.limit_hz),
        },
        related=tuple(
            Mark(facts.carrier_at(name), f"{name} {mhz(facts.carriers[name])}") for name in named.ids if name != first
        ),
        rank=named.offset_hz,
    )


def _victims(named: Named) -> str:
    if named.kind == "two_signal_third":
        middle = named.left[0][1]
        return f"{middle} is the middle of the other two, and all three hear it"
    if named.kind == "three_signal_third":
        return "all four hear it"
    return "fifth order, so weaker than third, but it falls on them"
