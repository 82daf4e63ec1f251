"""Carriers that two stages use at one time: how far the other stage's signal lies below ours.

Both stages stand in free space, so with equal power the wanted signal is above the other one by the ratio of the
distances, 20 lg (d2 / d1) dB, plus what walls take away, plus the ratio of the powers where both are written. d1 is the
farthest spot of whoever uses the link, d2 the distance between the nearest points of the stages (free space: ITU-R
P.525).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts import limits
from planlint.facts.festival import apart_m, overlap, same_stage, walls_db
from planlint.facts.modes import needs_ci_db
from planlint.facts.packs import main_packs
from planlint.facts.reach import Distance, distance
from planlint.plan.model import Act, Link, Other, Plan

if TYPE_CHECKING:
    from planlint.facts import Facts


class Reuse(NamedTuple):
    """One link of ours and one carrier on another stage that overlap, both on the air.

    Attributes:
        link, other: the two.
        stages: ours and theirs.
        needs: pointers to write; nothing else is known then.
        apart_m, reach_m: distances in m.
        above_db: by how much ours is above theirs at our farthest spot, at the powers written or equal ones.
        wanted_db: what the unit needs, and the house's margin on top.
        equal_power_assumed: whether a power is unwritten.
    """

    link: Link
    other: Other
    stages: tuple[str, str]
    needs: tuple[str, ...]
    apart_m: float = 0.0
    reach_m: float = 0.0
    above_db: float = 0.0
    wanted_db: float = 0.0
    equal_power_assumed: bool = False

    @property
    def enough(self) -> bool:
        """Whether ours is far enough above theirs; exactly on the limit passes."""
        return self.above_db >= self.wanted_db - 1e-9


def on_two_stages(plan: Plan, first: str, second: str) -> bool:
    """Say whether two carriers belong to acts on different stages, so that distance decides about them."""
    return any(
        one.stage is not None and other.stage is not None and one.stage != other.stage
        for one in plan.acts
        for other in plan.acts
        if first in one.holds and second in other.holds
    )


def reuses(plan: Plan, facts: Facts) -> tuple[Reuse, ...]:
    """Return every overlap of a link of ours with a carrier on another stage, by link and other."""
    found: dict[tuple[str, str], Reuse] = {}
    for ours in plan.acts:
        for theirs in plan.acts:
            if same_stage(ours, theirs) or not overlap(ours, theirs):
                continue
            for name in ours.holds:
                for other in theirs.holds:
                    if name in plan.links and other in plan.others and _overlap(facts, name, other):
                        found.setdefault(
                            (name, other), _reuse(plan, plan.links[name], plan.others[other], ours, theirs)
                        )
    return tuple(found[key] for key in sorted(found))


def _overlap(facts: Facts, first: str, second: str) -> bool:
    if first not in facts.carriers or second not in facts.carriers:
        return False
    gap = abs(facts.carriers[first] - facts.carriers[second])
    return 2 * gap < facts.widths[first] + facts.widths[second]


def _reuse(plan: Plan, link: Link, other: Other, ours: Act, theirs: Act) -> Reuse:
    stages = (str(ours.stage), str(theirs.stage))
    far = apart_m(plan, *stages)
    need, needs = _need(plan, link)
    reach, unreached = _reach(plan, link)
    needs = [*needs, *unreached, *([f"/stages/{stages[0]}/apart_m/{stages[1]}"] if far is None else [])]
    if needs or far is None or need is None or reach is None:
        return Reuse(link, other, stages, tuple(needs))
    powers = link.power_mw, other.power_mw
    ratio = 10 * math.log10(powers[0] / powers[1]) if powers[0] and powers[1] else 0.0
    above = 20 * math.log10(far / reach) + walls_db(plan, *stages) + ratio
    wanted = need + limits.number(plan, "link.margin_db")
    return Reuse(link, other, stages, (), far, reach, above, wanted, not (powers[0] and powers[1]))


def _need(plan: Plan, link: Link) -> tuple[float | None, list[str]]:
    """Return the highest carrier-to-interference ratio in dB that a unit of the link needs, or what is missing."""
    if link.kind == "mic":
        units = [(link.rx, "mono", f"{link.at}/rx")]
    else:
        units = [(pack.id, str(pack.settings.get("decodes")), pack.at) for pack in main_packs(link)]
    found: list[float] = []
    needs = [] if units else [f"{link.at}/packs"]
    for unit, mode, at in units:
        device = plan.devices.get(unit or "")
        value = needs_ci_db(device.model, link, mode) if device and device.model else None
        if value is not None:
            found.append(value)
        elif device is None:
            needs.append(at)
        else:
            needs.append(f"{device.model.at}/needs_ci_db" if device.model else f"{device.at}/model")
    return (max(found) if found and not needs else None), needs


def _reach(plan: Plan, link: Link) -> tuple[float | None, list[str]]:
    """Return the farthest spot of whoever uses the link, in m, or what is missing."""
    people = [link.person] if link.kind == "mic" else [pack.person for pack in main_packs(link)]
    walks = [distance(plan, person) for person in people]
    needs = [need for walk in walks if not isinstance(walk, Distance) for need in walk]
    metres = [walk.metres for walk in walks if isinstance(walk, Distance)]
    return (max(metres) if metres and not needs else None), needs
