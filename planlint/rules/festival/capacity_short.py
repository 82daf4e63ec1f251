"""More links on the air at once than the free spectrum can hold at the house's spacing.

What goes wrong: the set is asked for, and whatever anybody chooses, two carriers sit on each other. Counted is the most
that fits: from the bottom up, one carrier after the other at the house's spacing, in what the units tune, the allotted
blocks (else the region's rows) leave, and no live TV channel takes. Besides, no more can be clear of third order than the
whole span allows (a bound in closed form). Other people's carriers leave fewer.

Bad::

    plan_format: 1
    kind: plan
    policy: {spacing_khz: {ear_to_ear: 700}}
    models: {tx: {role: ear-transmitter, tuning_mhz: [{low: 482.000, high: 488.000}], emission_khz: 200}}
    devices: {TX-1: {model: tx}, TX-2: {model: tx}}
    spectrum: {tv_raster: us-6mhz, tv_occupied: [], allotted_mhz: [{low: 482.000, high: 482.800}]}
    links: {ear-1: {kind: ear, tx: TX-1}, ear-2: {kind: ear, tx: TX-2}}

Good::

    plan_format: 1
    kind: plan
    policy: {spacing_khz: {ear_to_ear: 700}}
    models: {tx: {role: ear-transmitter, tuning_mhz: [{low: 482.000, high: 488.000}], emission_khz: 200}}
    devices: {TX-1: {model: tx}, TX-2: {model: tx}}
    spectrum: {tv_raster: us-6mhz, tv_occupied: [], allotted_mhz: [{low: 482.000, high: 482.900}]}
    links: {ear-1: {kind: ear, tx: TX-1}, ear-2: {kind: ear, tx: TX-2}}

Each kind of link is counted for itself, as if it had the spectrum alone.

Source: a count; the bound by windows of neighbouring differences: Erdos and Turan (1941), Lindstrom (1969), in arXiv 2308.12406.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.capacity import Room, plain_search, room
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.spare_wording import KIND_WORDS, links_of_kind

RULE = Rule(severity="warning", group="margin", source="a count")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each kind with more links on the air at once than fit."""
    if not plan.links:
        yield Unchecked(("/links",))
    for kind in KIND_WORDS:
        links = links_of_kind(plan, kind)
        if not links:
            continue
        found = room(plan, facts, kind, links)
        if found.needs:
            yield Unchecked(found.needs, tuple(link.id for link in links))
        elif found.wanted > found.clear:
            yield _fault(kind, found)


def _fault(kind: str, found: Room) -> Fault:
    placed = plain_search(found, found.wanted)
    few = f"no more than {found.clear} of them clear of third order, and " if found.clear < found.fits else ""
    return Fault(
        "/links",
        f"{found.wanted} {KIND_WORDS[kind]} on the air at once, {found.fits} fit into the {mhz(found.free_hz)} MHz that are left, at "
        f"{khz(found.spacing_hz)} kHz; {few}a plain search finds {placed} clear of third order. Take fewer links or units of another "
        "band, or ask for more spectrum.",
        found.links,
        {
            "wanted": found.wanted,
            "fits": found.fits,
            "clear_at_most": found.clear,
            "clear_found": placed,
            "free_mhz": mhz(found.free_hz),
            "spacing_khz": khz_number(found.spacing_hz),
        },
        key=True,
    )
