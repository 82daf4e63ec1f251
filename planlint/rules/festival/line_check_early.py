"""The next act switches on behind the stage while the act before it is still on, too near its carriers.

What goes wrong: their packs warm up at 20:15, two hundred kilohertz beside the singer who is on until 20:40, and three
metres from our antennas. Asked to wait, they wait. Nearer than the house's spacing of like kinds counts as too near.

Bad::

    plan_format: 1
    kind: plan
    links: {vox: {kind: mic, carrier_mhz: 532.050}}
    spectrum: {others_on_air: {harp-mic: {carrier_mhz: 532.350, kind: mic, emission_khz: 200}}}
    acts:
      us: {stage: main, holds: [vox], at: "20:00", until: "20:40"}
      harp: {stage: main, holds: [harp-mic], line_check: "20:15", at: "20:55", until: "21:30"}

Good::

    plan_format: 1
    kind: plan
    links: {vox: {kind: mic, carrier_mhz: 532.050}}
    spectrum: {others_on_air: {harp-mic: {carrier_mhz: 532.350, kind: mic, emission_khz: 200}}}
    acts:
      us: {stage: main, holds: [vox], at: "20:00", until: "20:40"}
      harp: {stage: main, holds: [harp-mic], line_check: "20:40", at: "20:55", until: "21:30"}

Emissions that overlap are slot-overlap-same-carrier or others-on-air-collision.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.festival import Meeting, meetings, same_stage
from planlint.facts.spacing import limit_hz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Act
from planlint.plan.quantity import clock, khz, khz_number
from planlint.rules.base import NoOptions, Rule
from planlint.rules.festival_wording import ask, lacking_acts

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"spacing_khz": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each act that is on before the one before it is off, with a carrier too near one of its own."""
    yield from lacking_acts(plan, times=True, holds=True)
    worst: dict[tuple[str, str], tuple[int, int, Meeting, Act, Act]] = {}
    for both in meetings(plan, facts):
        order = _order(both.first, both.second)
        gap = abs(facts.carriers[both.ours] - facts.carriers[both.theirs])
        widths = (facts.widths[both.ours], facts.widths[both.theirs])
        kinds = (facts.items[both.ours].kind, facts.items[both.theirs].kind)
        limit = limit_hz(plan, kinds, widths)
        if order is None or not same_stage(both.first, both.second) or not sum(widths) <= 2 * gap < 2 * limit:
            continue
        before, after = order
        key = before.id, after.id
        if key not in worst or gap < worst[key][0]:
            worst[key] = gap, limit, both, before, after
    for key in sorted(worst):
        yield _fault(facts, *worst[key])


def _order(first: Act, second: Act) -> tuple[Act, Act] | None:
    """Return the act before and the act after it, where the one's set begins no earlier than the other is off."""
    for before, after in ((first, second), (second, first)):
        start = after.start_min if after.start_min is not None else after.on_min
        if before.end_min is not None and start is not None and start >= before.end_min:
            return before, after
    return None


def _fault(facts: Facts, gap: int, limit: int, both: Meeting, before: Act, after: Act) -> Fault:
    return Fault(
        after.on_at,
        f"{after.id} switches on at {clock(after.on_min or 0)}, {before.id} is on until {clock(before.end_min or 0)}: {both.ours} and "
        f"{both.theirs} are {khz(gap)} kHz apart, limit {khz(limit)}. Ask {ask(after)} for {clock(before.end_min or 0)}, or for a hold "
        "away from the stage.",
        (both.ours, both.theirs),
        {"spacing_khz": khz_number(gap), "limit_khz": khz_number(limit), "ask_for": clock(before.end_min or 0)},
        (Mark(f"{before.at}/until", f"{before.id} is off"), Mark(facts.carrier_at(both.theirs), both.theirs)),
        rank=gap,
    )
