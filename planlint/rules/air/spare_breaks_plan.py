"""A spare carrier that would break the plan the moment it is used.

What goes wrong: a spare looks clean on the scan, but with the live set on the air it makes intermodulation, or
stands too near a neighbour, or lies in a live TV channel. Each spare is tested alone beside everyone who is on
together, then every two spares together, since a bad night uses two.

Bad::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}
    spares_mhz: {ear: [506.950]}

Good::

    plan_format: 1
    kind: plan
    links:
      vox: {kind: ear, carrier_mhz: 505.300}
      gtr: {kind: ear, carrier_mhz: 506.125}
    spares_mhz: {ear: [507.575]}

Source: the intermodulation and spacing rules' own; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts, spares
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.pairs import lacking_carriers

RULE = Rule(severity="warning", group="margin", source="as the intermodulation and spacing rules")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each spare that clashes with the live set, and for each two spares that clash."""
    if "spares_mhz" not in plan.values:
        yield Unchecked(("/spares_mhz",))
        return
    yield from lacking_carriers(plan, facts)
    bad = set()
    for spare in plan.spares:
        clashes = list(spares.alone(facts, spare))
        if clashes:
            bad.add(spare.at)
            ids = tuple(sorted({name for clash in clashes for name in clash.ids}))
            yield Fault(
                spare.at,
                f"spare {mhz(spare.carrier_hz)} ({spare.kind}) breaks the plan when it is used: {clashes[0].why}"
                f"{_more(len(clashes))}. Choose another spare.",
                ids,
                {"spare_mhz": mhz(spare.carrier_hz), "clashes": len(clashes)},
                tuple(Mark(facts.carrier_at(name), name) for name in ids),
            )
    for first, second, clash in spares.pairwise(facts):
        if first.at not in bad and second.at not in bad:
            yield Fault(
                second.at,
                f"spares {mhz(first.carrier_hz)} and {mhz(second.carrier_hz)} cannot both be used: {clash.why}. Use one of "
                "them, or choose another.",
                clash.ids,
                {"spare_mhz": mhz(second.carrier_hz), "other_spare_mhz": mhz(first.carrier_hz)},
                (Mark(first.at, "the other spare"),),
            )


def _more(count: int) -> str:
    return "" if count == 1 else f"; and {count - 1} more"
