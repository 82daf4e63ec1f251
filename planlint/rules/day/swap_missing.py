"""No fresh cells between sound check and show.

What goes wrong: the cells that ran all afternoon go into the show, and the gauge shows two bars until it shows none.
Each pack gets fresh cells after the sound check begins and before the show does. Microphones are judged by their run
times alone.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-1: {}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day:
      - {what: sound check, at: "16:00"}
      - {what: show, at: "21:10", until: "22:45"}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-1: {}}
    links: {ear-1: {kind: ear, packs: {PK-1: {}}}}
    day:
      - {what: sound check, at: "16:00"}
      - {what: cell swap, at: "18:30"}
      - {what: show, at: "21:10", until: "22:45"}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.runtime import first, swaps_of
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import clock
from planlint.rules.base import NoOptions, Rule
from planlint.rules.day_wording import all_runners, named
from planlint.rules.packs import lacking_packs

RULE = Rule(severity="warning", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield one fault for the packs that get no fresh cells between sound check and show."""
    yield from lacking_packs(plan)
    check_at, show_at = first(plan, "sound check"), first(plan, "show")
    if check_at is None or show_at is None:
        yield Unchecked(("/day",))
        return
    span = range(check_at.start_min, show_at.start_min + 1)
    packs = [runner for runner in all_runners(plan) if runner.job == "pack"]
    left = [
        runner
        for runner in packs
        if not any(entry.start_min in span for entry in swaps_of(plan, runner.device.id, "pack"))
    ]
    if left:
        who = "any pack" if len(left) == len(packs) else ", ".join(named(runner) for runner in left)
        yield Fault(
            f"{show_at.at}/at",
            f"No cell swap for {who} between sound check at {clock(check_at.start_min)} and show at {clock(show_at.start_min)}. "
            "Write one, and who does it, or name these packs in the one that is there.",
            tuple(sorted({name for runner in left for name in (runner.device.id, runner.link.id)})),
            {"packs": len(left)},
            (Mark(f"{check_at.at}/at", "sound check"),),
        )
