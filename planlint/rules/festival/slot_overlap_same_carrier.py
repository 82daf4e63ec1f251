"""Two acts on one carrier while both are on the air.

What goes wrong: the act after next line-checks behind the stage while the guest is still singing on that carrier. Acts
are on the air from their line check, else their set, to `until`; their emissions overlap nearer than half the sum of
both widths.

Bad::

    plan_format: 1
    kind: plan
    links: {guest-mic: {kind: mic, carrier_mhz: 532.050}}
    spectrum: {others_on_air: {harp-mic: {carrier_mhz: 532.050, kind: mic, at: "21:00", until: "22:00"}}}
    acts:
      us: {stage: main, holds: [guest-mic], at: "20:00", until: "20:40"}
      harp: {stage: main, holds: [harp-mic], line_check: "20:30", at: "21:00", until: "22:00"}
    day: [{what: show, at: "20:00", until: "20:40", on_air: [guest-mic]}]

Good::

    plan_format: 1
    kind: plan
    links: {guest-mic: {kind: mic, carrier_mhz: 532.050}}
    spectrum: {others_on_air: {harp-mic: {carrier_mhz: 532.050, kind: mic, at: "21:00", until: "22:00"}}}
    acts:
      us: {stage: main, holds: [guest-mic], at: "20:00", until: "20:40"}
      harp: {stage: main, holds: [harp-mic], line_check: "20:40", at: "21:00", until: "22:00"}
    day: [{what: show, at: "20:00", until: "20:40", on_air: [guest-mic]}]

Acts on different stages are left to stage-separation-low. Two carriers that the day puts on the air together are
others-on-air-collision, spacing-too-close or same-carrier-twice.

Source: intervals and emissions that overlap; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.festival import Meeting, meetings, same_stage
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import clock, khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.festival_wording import ask, lacking_acts

RULE = Rule(severity="error", group="link", source="intervals and emissions that overlap")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each two carriers of acts on one stage that overlap in time and spectrum."""
    yield from lacking_acts(plan, times=True, holds=True)
    for act in plan.acts:
        unknown = tuple(name for name in act.holds if name in facts.items and name not in facts.carriers)
        unused = {name for name in unknown if _has_none(plan, name)}
        if set(unknown) - unused:
            yield Unchecked(tuple(facts.carrier_at(name) for name in unknown if name not in unused), unknown)
    for both in meetings(plan, facts):
        gap = abs(facts.carriers[both.ours] - facts.carriers[both.theirs])
        need = (facts.widths[both.ours] + facts.widths[both.theirs]) // 2
        reported = facts.meet(both.ours, both.theirs) and (both.ours in plan.links or both.theirs in plan.links)
        if gap < need and same_stage(both.first, both.second) and not reported:
            yield _fault(facts, both, gap)


def _has_none(plan: Plan, name: str) -> bool:
    """Say whether there is no carrier to write: the link is unused, or the units pick their own."""
    return not plan.links[name].wants_carrier if name in plan.links else plan.others[name].self_tuned is not None


def _fault(facts: Facts, both: Meeting, gap: int) -> Fault:
    late, early = both.second, both.first
    if (late.on_min or 0) < (early.on_min or 0):
        late, early = early, late
    until = "and nobody wrote until when" if early.end_min is None else f"until {clock(early.end_min)}"
    ask_for = (
        f"Ask until when {early.id} is on" if early.end_min is None else f"Ask {ask(late)} to switch on after that"
    )
    ours, theirs = sorted((both.ours, both.theirs))
    apart = "on one carrier" if gap == 0 else f"{khz(gap)} kHz apart"
    return Fault(
        late.on_at,
        f"{late.id} is on the air from {clock(late.on_min or 0)} and {early.id} still is, {until}: {ours} {mhz(facts.carriers[ours])} "
        f"and {theirs} {mhz(facts.carriers[theirs])} are {apart}. {ask_for}, or move one of them, both "
        "ends.",
        (ours, theirs),
        {"from": clock(both.from_min), "spacing_khz": khz_number(gap)}
        | ({"until": clock(both.to_min)} if both.to_min is not None else {}),
        (Mark(facts.carrier_at(ours), ours), Mark(facts.carrier_at(theirs), theirs)),
    )
