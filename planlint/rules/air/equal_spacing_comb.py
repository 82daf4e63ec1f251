"""Carriers on an even grid: tidy numbers that make the most products.

What goes wrong: with ears every 600 kHz almost every third-order product that stays in the band lands on a
carrier. Four in a row are enough.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 500.000}
      gtr: {kind: ear, carrier_mhz: 500.600}
      bass: {kind: ear, carrier_mhz: 501.200}
      keys: {kind: ear, carrier_mhz: 501.800}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 500.000}
      gtr: {kind: ear, carrier_mhz: 500.600}
      bass: {kind: ear, carrier_mhz: 502.400}
      keys: {kind: ear, carrier_mhz: 503.600}

Source: products of equally spaced carriers pile up on the carriers (classic multi-carrier formulas, from
memory, not verified; counted again in the tests).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers

RULE = Rule(severity="warning", group="margin", source="products of equally spaced carriers, counted")

ENOUGH = 4


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each longest run of at least four evenly spaced carriers on the air together."""
    yield from lacking_carriers(plan, facts)
    found: dict[tuple[str, ...], int] = {}
    for ids in facts.together:
        by_carrier: dict[int, str] = {}
        for name in sorted(ids, reverse=True):
            if name in facts.carriers and name in plan.links:
                by_carrier[facts.carriers[name]] = name
        for step, run in _combs(sorted(by_carrier)):
            found[tuple(by_carrier[carrier] for carrier in run)] = step
    for names, step in found.items():
        if not any(set(names) < set(longer) for longer in found):  # every second one of eight is even too
            yield _fault(facts, names, step)


def _combs(carriers: list[int]) -> Iterator[tuple[int, list[int]]]:
    """Yield every longest evenly spaced run with its step in Hz."""
    present = set(carriers)
    for index, first in enumerate(carriers):
        for second in carriers[index + 1 :]:
            step = second - first
            if first - step in present:
                continue
            run = [first]
            while run[-1] + step in present:
                run.append(run[-1] + step)
            if len(run) >= ENOUGH:
                yield step, run


def _fault(facts: Facts, names: tuple[str, ...], step: int) -> Fault:
    return Fault(
        facts.carrier_at(names[0]),
        f"{', '.join(names)} stand every {khz(step)} kHz: even spacing puts most products on carriers. Move some of them "
        "off the grid, at both ends, until fewer than four are even.",
        names,
        {"step_khz": khz_number(step), "carriers": len(names)},
        tuple(Mark(facts.carrier_at(name), name) for name in names[1:]),
    )
