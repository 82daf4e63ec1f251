"""A backup microphone left switched on next to the one it stands in for.

What goes wrong: two transmitters in one hand's reach make their own intermodulation, drain cells, and the spare's channel
is open at the desk. A backup is off until it is needed. Two that are on together on purpose say `doubles:` and are
judged like any two links.

Bad::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}}
    devices: {HH-1: {}, HH-2: {}}
    links:
      mic-1: {kind: mic, mic: HH-1, person: vox}
      mic-2: {kind: mic, mic: HH-2, person: vox, stands_in_for: mic-1}
    day: [{what: show, at: "21:00", until: "22:30", on_air: [mic-1, mic-2]}]

Good::

    plan_format: 1
    kind: plan
    people: {vox: {does: lead singer}}
    devices: {HH-1: {}, HH-2: {}}
    links:
      mic-1: {kind: mic, mic: HH-1, person: vox}
      mic-2: {kind: mic, mic: HH-2, person: vox, stands_in_for: mic-1}
    day: [{what: show, at: "21:00", until: "22:30", on_air: [mic-1]}]

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each microphone that stands in for another and is on the air together with it."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        spare = plan.links[name]
        main = plan.links.get(spare.stands_in_for or "")
        if spare.kind != "mic" or not spare.used or main is None:
            continue
        if "day" not in plan.values:
            yield Unchecked(("/day",), (spare.id, main.id))
        elif "doubles" not in spare.spec and facts.meet(spare.id, main.id):
            yield _fault(plan, facts, spare, main)


def _fault(plan: Plan, facts: Facts, spare: Link, main: Link) -> Fault:
    holder = main.person or f"the one on {main.id}"
    entries = [entry for entry in plan.day if isinstance(entry.on_air, tuple) and spare.id in entry.on_air]
    units = [unit for unit in (spare.tx, main.tx) if unit]
    return Fault(
        f"{entries[0].at}/on_air" if entries else f"{spare.at}/stands_in_for",
        f"{spare.id} is {holder}'s backup and is on the air with {main.id}: switch {spare.tx or spare.id} off and keep it within "
        f"reach, take it out of on_air, or write doubles: {main.id} if both are meant.",
        (spare.id, main.id, *units),
        {"spare": spare.id, "main": main.id},
        (Mark(f"{spare.at}/stands_in_for", f"stands in for {main.id}"),),
    )
