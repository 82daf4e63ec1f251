"""More channels wanted in one band at once than the band has.

What goes wrong: each set was tried alone and found a place. Together, the last to be switched on finds none, and it is the
stage manager's.

Bad::

    plan_format: 1
    kind: plan
    spectrum:
      self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000, channels: 8}}
      others_on_air: {house: {kind: comms, self_tuned: upper, takes_channels: 5}}
    links: {calls: {kind: comms, self_tuned: upper, takes_channels: 4}}

Good::

    plan_format: 1
    kind: plan
    spectrum:
      self_tuning_bands: {upper: {low_mhz: 941.500, high_mhz: 952.000, channels: 9}}
      others_on_air: {house: {kind: comms, self_tuned: upper, takes_channels: 5}}
    links: {calls: {kind: comms, self_tuned: upper, takes_channels: 4}}

Source: a count; the channels from the sets' data sheets.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.self_tuning import Band, Set, bands, most_at_once, sets
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.self_tuned_wording import lacking_bands

RULE = Rule(severity="warning", group="link", source="a count", accept={"channels": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each band of ours in which sets on together take more channels than it has."""
    yield from lacking_bands(plan)
    every = sets(plan)
    for band in bands(plan).values():
        members = tuple(one for one in every if one.band.id == band.id)
        if not any(one.ours for one in members):
            continue
        unsaid = tuple(f"{one.entry_at}/takes_channels" for one in members if one.takes is None)
        needs = (*(() if band.channels is not None else (f"{band.at}/channels",)), *unsaid)
        if needs:
            yield Unchecked(needs, tuple(one.id for one in members))
        now = most_at_once(facts, members)
        if band.channels is not None and sum(one.takes or 0 for one in now) > band.channels:
            yield _fault(band, band.channels, now)


def _fault(band: Band, room: int, now: tuple[Set, ...]) -> Fault:
    wanted = sum(one.takes or 0 for one in now)
    who = joined(f"{one.id} {one.takes}" for one in now if one.takes)
    return Fault(
        f"{band.at}/channels",
        f"Band {band.id} has {room} channels, and the sets on at once take {wanted} ({who}): {wanted - room} too many; the last to be "
        "switched on finds none. Leave stations off, put a set into another band at both ends, or part them in the day.",
        tuple(one.id for one in now),
        {"band": band.id, "channels": wanted, "limit_channels": room},
        tuple(Mark(f"{one.entry_at}/takes_channels", f"{one.id} takes {one.takes}") for one in now if one.takes),
    )
