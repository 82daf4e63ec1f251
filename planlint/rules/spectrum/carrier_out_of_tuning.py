"""A carrier that one end of the link cannot tune.

What goes wrong: the hired pack is of another band; nobody sees it until it is handed to the singer. Every unit
on the link counts: transmitter, receiver, packs, packs that stand in, and packs that only listen to it.

Bad::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
      pack-h: {role: ear-pack, tuning_mhz: [{low: 518.000, high: 590.000}], step_khz: 25}
    devices: {TX-1: {model: tx-n}, PK-1: {model: pack-h}}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {}}, carrier_mhz: 505.300}}

Good::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter, tuning_mhz: [{low: 478.000, high: 542.000}], step_khz: 25}
      pack-h: {role: ear-pack, tuning_mhz: [{low: 518.000, high: 590.000}], step_khz: 25}
    devices: {TX-1: {model: tx-n}, PK-1: {model: pack-h}}
    links: {vox: {kind: ear, tx: TX-1, packs: {PK-1: {}}, carrier_mhz: 530.300}}

Source: the models' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.ends import End, ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.tuning import judged, lacking

RULE = Rule(severity="error", group="link", source="the models' data sheets")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit on a link whose ranges do not hold the link's carrier."""
    yield from lacking(plan, facts)
    for link, carrier in judged(plan):
        for end in ends(plan, link):
            if end.model and end.model.tuning and not any(r.low_hz <= carrier <= r.high_hz for r in end.model.tuning):
                yield _fault(plan, link, end, carrier)


def _fault(plan: Plan, link: Link, end: End, carrier: int) -> Fault:
    assert end.model is not None
    ranges = " and ".join(f"{mhz(r.low_hz)}-{mhz(r.high_hz)}" for r in end.model.tuning)
    job = {"listens": "listens to it", "stands in": "stands in on it"}.get(end.job, f"is its {end.job}")
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(carrier)}: {end.device} {job} and tunes {ranges} only: it can never hear or be heard there. Choose a "
        f"carrier that every unit on {link.id} can tune, or another unit.",
        (link.id, end.device),
        {"carrier_mhz": mhz(carrier), "tunes_mhz": ranges},
        (
            Mark(end.at, f"{end.device} is on the link here", key=True),
            Mark(f"{end.model.at}/tuning_mhz", "and tunes this"),
        ),
    )
