"""Two stages use one carrier and are too near each other for it.

What goes wrong: the barn's lead singer comes up in our drummer's ears as soon as our own signal is weak, at the far edge
of the stage. With equal powers in free space our signal is above theirs by 20 lg of distance over walk; walls come on
top. It should be above by what the unit needs and the house's margin.

Bad::

    plan_format: 1
    kind: plan
    models: {pack: {role: ear-pack, needs_ci_db: {stereo: 25}}}
    devices: {PK-1: {model: pack}}
    links: {ear-1: {kind: ear, carrier_mhz: 505.300, power_mw: 10, packs: {PK-1: {decodes: stereo}}}}
    spectrum: {others_on_air: {barn-ear: {carrier_mhz: 505.300, power_mw: 10}}}
    reach: {default_m: 20}
    stages: {main: {}, barn: {apart_m: {main: 120}}}
    acts:
      us: {stage: main, holds: [ear-1], at: "20:00", until: "21:00"}
      reel: {stage: barn, holds: [barn-ear], at: "20:30", until: "21:30"}

Good::

    plan_format: 1
    kind: plan
    models: {pack: {role: ear-pack, needs_ci_db: {stereo: 25}}}
    devices: {PK-1: {model: pack}}
    links: {ear-1: {kind: ear, carrier_mhz: 505.300, power_mw: 10, packs: {PK-1: {decodes: stereo}}}}
    spectrum: {others_on_air: {barn-ear: {carrier_mhz: 505.300, power_mw: 10}}}
    reach: {default_m: 20}
    stages: {main: {}, barn: {apart_m: {main: 120}, wall_db: 20}}
    acts:
      us: {stage: main, holds: [ear-1], at: "20:00", until: "21:00"}
      reel: {stage: barn, holds: [barn-ear], at: "20:30", until: "21:30"}

An unwritten power is taken as equal for a finding; without it nothing is acquitted.

Source: free space, ITU-R P.525; the needed ratio from the unit's data sheet; the margin common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.stage_reuse import Reuse, reuses
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.festival_wording import lacking_acts

RULE = Rule(severity="error", group="link", source="free space, ITU-R P.525", accept={"above_db": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each carrier that another stage uses too, too near for what our unit needs."""
    yield from lacking_acts(plan, times=True, holds=True)
    for act in plan.acts:
        if act.stage is None and len(plan.acts) > 1:
            yield Unchecked((f"{act.at}/stage",), act.holds)
    for reuse in reuses(plan, facts):
        ids = (reuse.link.id, reuse.other.id)
        if reuse.needs:
            yield Unchecked(reuse.needs, ids)
        elif not reuse.enough:
            yield _fault(reuse)
        elif reuse.equal_power_assumed:
            unwritten = [f"{reuse.link.entry_at}/power_mw"] if not reuse.link.power_mw else []
            unwritten += [f"{reuse.other.at}/power_mw"] if not reuse.other.power_mw else []
            yield Unchecked(tuple(unwritten), ids)


def _fault(reuse: Reuse) -> Fault:
    ours, theirs = reuse.stages
    assumed = ", at equal power" if reuse.equal_power_assumed else ""
    short = reuse.wanted_db - reuse.above_db
    return Fault(
        reuse.link.carrier_at,
        f"{reuse.link.id} {mhz(reuse.link.carrier_hz or 0)} on {ours} and {reuse.other.id} on {theirs}, {reuse.apart_m:g} m away: at "
        f"{reuse.reach_m:g} m from our antenna ours is {reuse.above_db:.1f} dB above theirs{assumed}, needed {reuse.wanted_db:.1f} (an "
        f"estimate in free space). Move {reuse.link.id}, both ends, or ask for {short:.1f} dB more between the stages.",
        (reuse.link.id, reuse.other.id),
        {"above_db": round(reuse.above_db, 2), "needed_db": round(reuse.wanted_db, 2), "apart_m": reuse.apart_m, "reach_m": reuse.reach_m},
        (Mark(reuse.other.carrier_at, f"{reuse.other.id} is here"),),
        rank=-short,
    )  # fmt: skip
