"""Fewer leads, rack ears or other small parts in the cases than the chain needs.

What goes wrong: the units are there, and the eighth short cable is not. Racking kits and antenna leads are not in a
unit's box by default, and at six in the evening nobody sells them.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, needs_parts: {short-coax: 1}}, cmb-2: {role: combiner, needs_parts: {}}}
    devices: {TX-1: {model: tx-n, into: CMB-A}, TX-2: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-2}}
    antennas: {ear-out: {for: ear, through: CMB-A, needs_parts: {long-coax: 1}}}
    ships: {short-coax: 1, long-coax: 1}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, needs_parts: {short-coax: 1}}, cmb-2: {role: combiner, needs_parts: {}}}
    devices: {TX-1: {model: tx-n, into: CMB-A}, TX-2: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-2}}
    antennas: {ear-out: {for: ear, through: CMB-A, needs_parts: {long-coax: 1}}}
    ships: {short-coax: 2, long-coax: 1}

`needs_parts` of a model is what each unit of it needs beyond itself; `ships` lists what is in the cases. Units of the
house (`owner: house`) bring their own. Transmitters in racks, receivers, combiners, splitters and antennas that do not
say what they need are not checked; `{}` says nothing is needed.

Source: counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.chain import model_at
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="link", source="counted", accept={"missing": "higher"})

_IN_RACKS = frozenset({"ear-transmitter", "mic-receiver", "combiner", "splitter"})


class _Need(NamedTuple):
    """Who needs how many of a part, and where that is written."""

    id: str
    amount: int
    at: str


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each part of which the cases hold fewer than are needed."""
    if "ships" not in plan.values:
        yield Unchecked(("/ships",))
        return
    if "devices" not in plan.values:
        yield Unchecked(("/devices",))
    needed: dict[str, list[_Need]] = {}
    unwritten: dict[str, list[str]] = {}
    for name in sorted(plan.devices):
        device = plan.devices[name]
        if device.spec.get("owner") == "house":
            continue
        if device.model is None:
            unwritten.setdefault(model_at(device), []).append(name)
        elif "needs_parts" in device.model.spec:
            _count(needed, name, device.model.spec["needs_parts"], device.model.at)
        elif device.model.role in _IN_RACKS:
            unwritten.setdefault(f"{device.model.at}/needs_parts", []).append(name)
    for name, spec in sorted(plan.section("antennas").items()):
        if "needs_parts" in spec:
            _count(needed, name, spec["needs_parts"], f"/antennas/{escape(name)}")
        else:
            unwritten.setdefault(f"/antennas/{escape(name)}/needs_parts", []).append(name)
    for at, names in unwritten.items():
        yield Unchecked((at,), tuple(names))
    for part in sorted(needed):
        shipped, count = int(plan.section("ships").get(part, 0)), sum(need.amount for need in needed[part])
        if count > shipped:
            yield _fault(part, needed[part], count, shipped)


def _count(needed: dict[str, list[_Need]], name: str, parts: dict[str, int], at: str) -> None:
    for part, count in parts.items():
        needed.setdefault(part, []).append(_Need(name, int(count), f"{at}/needs_parts/{escape(part)}"))


def _fault(part: str, needs: list[_Need], count: int, shipped: int) -> Fault:
    places: dict[str, list[str]] = {}
    for need in needs:
        places.setdefault(need.at, []).append(need.id)
    return Fault(
        f"/ships/{escape(part)}",
        f"{count} {part} needed ({joined([need.id for need in needs])}), the cases list {shipped}: pack {count - shipped} more, "
        "or the last unit stays unplugged.",
        tuple(need.id for need in needs),
        {"part": part, "needed": count, "shipped": shipped, "missing": count - shipped},
        tuple(
            Mark(at, f"for each of {joined(names)}" if len(names) > 1 else f"for {names[0]}")
            for at, names in places.items()
        ),
        key=True,
    )
