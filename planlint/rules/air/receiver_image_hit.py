"""A carrier on a receiver's image, or as far from its carrier as its intermediate frequency.

What goes wrong: a superheterodyne receiver tuned to f also hears, weakly, f plus or minus twice its first intermediate
frequency; and a strong carrier that far away once comes near its oscillator. A clean plan still has one channel with
somebody else's sound under it.

Bad::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, first_if_mhz: 33.4}}
    devices: {TX-1: {}, PK-1: {model: pack-m}}
    links:
      vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300, packs: {PK-1: {}}}
      headset: {kind: comms, carrier_mhz: 572.100}

Good::

    plan_format: 1
    kind: plan
    models: {pack-m: {role: ear-pack, first_if_mhz: 33.4}}
    devices: {TX-1: {}, PK-1: {model: pack-m}}
    links:
      vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300, packs: {PK-1: {}}}
      headset: {kind: comms, carrier_mhz: 573.100}

Which side the oscillator stands on is not asked: both are judged. A hit within the wider of the two emissions counts. Few
data sheets give the figure; where it is unwritten the rule is not checked.

Source: the superheterodyne principle (closed form); the intermediate frequency: the receiver's data sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import End, ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import khz, khz_number, mhz, to_hz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.pairs import lacking_carriers

RULE = Rule(
    severity="note", group="margin", source="the superheterodyne principle; data sheets", accept={"offset_khz": "lower"}
)

_WHERE = {2: "the image", 1: "one intermediate frequency"}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each carrier that another link's receivers hear where they should not."""
    yield from lacking_carriers(plan, facts)
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used or name not in facts.carriers:
            continue
        by_if: dict[int, list[End]] = {}
        for end in ends(plan, link):
            if end.job == "transmitter":
                continue
            if end.model is None or "first_if_mhz" not in end.model.spec:
                at = f"{end.model.at}/first_if_mhz" if end.model else f"{plan.devices[end.device].at}/model"
                yield Unchecked((at,), (name, end.device))
            else:
                by_if.setdefault(to_hz(end.model.spec["first_if_mhz"], "mhz"), []).append(end)
        for first_if, receivers in sorted(by_if.items()):
            yield from _judge(facts, link, first_if, receivers)


def _judge(facts: Facts, link: Link, first_if: int, receivers: list[End]) -> Iterator[Fault]:
    carrier = facts.carriers[link.id]
    for other in filter(facts.leads, sorted(facts.carriers)):
        if other == link.id:
            continue
        gap, wider = abs(facts.carriers[other] - carrier), max(facts.widths[link.id], facts.widths[other])
        for times in _WHERE:
            offset = abs(gap - times * first_if)
            if offset < wider and facts.meet(link.id, other):
                yield _fault(facts, link, other, receivers, (times, first_if, offset, wider))


def _fault(facts: Facts, link: Link, other: str, receivers: list[End], hit: tuple[int, int, int, int]) -> Fault:
    times, first_if, offset, wider = hit
    units = [end.device for end in receivers]
    return Fault(
        facts.carrier_at(link.id),
        f"{link.id} {mhz(facts.carriers[link.id])}: {other} {mhz(facts.carriers[other])} stands at {_WHERE[times]} of "
        f"{joined(units)} ({times} x {mhz(first_if)} MHz away, {khz(offset)} kHz off, limit {khz(wider)}). With ears "
        f"out and the transmitter of {link.id} off, look at the meters of {joined(units)} while {other} is on; if they move, "
        "move one of the two carriers at both ends.",
        (link.id, other, *units),
        {
            "offset_khz": khz_number(offset),
            "limit_khz": khz_number(wider),
            "first_if_mhz": mhz(first_if),
            "times": times,
        },
        (Mark(facts.carrier_at(other), f"{other} {mhz(facts.carriers[other])}"),),
        rank=offset,
    )
