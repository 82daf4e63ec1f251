"""Units that must be set to another link in a changeover that is too short for one pair of hands.

What goes wrong: the band's receivers are the guests' too, on other carriers; fourteen entries in five minutes end in three
wrong ones. Each unit that is on one link and later on another with another carrier is entered once in between, each
entry `policy.hands_min_per_unit` (unwritten 1.5 min), in the order in which the units come free.

Bad::

    plan_format: 1
    kind: plan
    policy: {hands_min_per_unit: 2}
    devices: {HH-1: {}, HH-2: {}, RX-1: {}}
    links:
      mic-1: {kind: mic, mic: HH-1, rx: RX-1, carrier_mhz: 561.900}
      mic-2: {kind: mic, mic: HH-2, rx: RX-1, carrier_mhz: 563.400}
    day:
      - {what: act one, at: "20:00", until: "20:40", on_air: [mic-1]}
      - {what: act two, at: "20:41", until: "21:30", on_air: [mic-2]}

Good::

    plan_format: 1
    kind: plan
    policy: {hands_min_per_unit: 2}
    devices: {HH-1: {}, HH-2: {}, RX-1: {}}
    links:
      mic-1: {kind: mic, mic: HH-1, rx: RX-1, carrier_mhz: 561.900}
      mic-2: {kind: mic, mic: HH-2, rx: RX-1, carrier_mhz: 563.400}
    day:
      - {what: act one, at: "20:00", until: "20:40", on_air: [mic-1]}
      - {what: act two, at: "20:42", until: "21:30", on_air: [mic-2]}

Source: a count; the minutes for an entry common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from planlint.facts import Facts, limits
from planlint.facts.changeover import Entry, late_min, reentries
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import clock
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="warning", group="margin", source="a count", accept={"late_min": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each changeover whose entries one pair of hands does not finish in time."""
    if "day" not in plan.values:
        yield Unchecked(("/day",))
        return
    if not plan.links:
        yield Unchecked(("/links",))
    each = Decimal(str(limits.number(plan, "hands_min_per_unit")))
    by_start: dict[int, list[Entry]] = {}
    for entry in reentries(plan, facts):
        if entry.unknown:
            yield Unchecked(entry.unknown, (entry.unit, entry.before, entry.after))
        else:
            by_start.setdefault(entry.needed_min, []).append(entry)
    for start in sorted(by_start):
        entries = by_start[start]
        late = late_min(entries, each)
        if late > 0:
            yield _fault(plan, entries, each, late)


def _fault(plan: Plan, entries: list[Entry], each: Decimal, late: Decimal) -> Fault:
    start, free = entries[0].needed_min, min(entry.free_min for entry in entries)
    link = plan.links[entries[0].after]
    at = next((entry.at for entry in plan.day if entry.start_min == start), "/day")
    count = len(entries)
    return Fault(
        f"{at}/at",
        f"{count} unit{'' if count == 1 else 's'} to enter between {clock(free)} and {clock(start)} ({joined(entry.unit for entry in entries)}), "
        f"{each:g} min each: {float(late):g} min too late for {link.id}. Set second units beforehand, take a second pair of hands, or move "
        "the act.",
        tuple(sorted({name for entry in entries for name in (entry.unit, entry.before, entry.after)})),
        {"units": count, "gap_min": start - free, "late_min": float(late)},
    )  # fmt: skip
