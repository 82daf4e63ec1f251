"""Questions about one carrier: why not this one, what passes nearest to it, and where a dying link can go."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.allowed import Grounds, Reason
from planlint.assign.clash import Air, Clash
from planlint.facts.hands import retune
from planlint.facts.interference import Estimate
from planlint.facts.relations import Named
from planlint.facts.scan import Floor
from planlint.finding import Touch
from planlint.plan.model import Link

if TYPE_CHECKING:
    from planlint.facts import Facts


class Look(NamedTuple):
    """Everything about one link on one carrier.

    Attributes:
        link, carrier_hz: which.
        reasons: what speaks against it whatever the other links do.
        clashes: pairs within their limit with it there.
        relations: intermodulation relations within their limit with it there, with the estimated C/I.
        margin_hz: how far the nearest pair or relation is past its limit; negative within it, None: nothing near.
        floor_dbm: the power there in 200 kHz, from the scan; None where no scan says.
        below_hz, above_hz: the nearest carriers that pass, with everybody else where they are.
    """

    link: str
    carrier_hz: int
    reasons: tuple[Reason, ...]
    clashes: tuple[Clash, ...]
    relations: tuple[tuple[Named, Estimate], ...]
    margin_hz: int | None
    floor_dbm: float | None
    below_hz: int | None
    above_hz: int | None

    @property
    def passes(self) -> bool:
        """Whether nothing was found against it."""
        return not (self.reasons or self.clashes or self.relations)


class Way(NamedTuple):
    """Where a link can go at once: the carrier, whether it is a written spare, its margin, and what is touched."""

    link: str
    old_hz: int | None
    carrier_hz: int
    spare: bool
    margin_hz: int | None
    touches: tuple[Touch, ...]
    passed_over: tuple[tuple[int, str], ...]


def look(facts: Facts, name: str, carrier_hz: int) -> Look:
    """Return everything about a link of the plan on a carrier in Hz."""
    link = facts.plan.links[name]
    there = _there(facts, link, carrier_hz)
    air, grounds = Air(there), Grounds(facts)
    everyone = {**_beside(facts, name), name: carrier_hz}
    pairs = tuple(
        clash for clash in air.clashes(everyone) if name in clash.ids and not clash.rule.startswith("intermod-")
    )
    found = tuple(pair for pair in there.interference.ranked(there.relations) if name in pair[0].ids)
    margin = air.margin(name, everyone)
    below, above = _nearest(facts, grounds, air, link, carrier_hz)
    width = facts.widths[name]
    floor = (
        facts.scans.floor_between(link.kind, carrier_hz - width // 2, carrier_hz + (width + 1) // 2)
        if facts.scans.all
        else None
    )
    return Look(
        name, carrier_hz, grounds.against(link, carrier_hz), pairs, found, None if margin >= 10**11 else margin,
        floor.power.line_dbm if isinstance(floor, Floor) else None, below, above,
    )  # fmt: skip


def way_out(facts: Facts, name: str) -> Way | None:
    """Return where a dying link goes: the first written spare that passes for all its ends, else the widest margin.

    None where no carrier passes with everybody else where they are.
    """
    import numpy as np

    link = facts.plan.links[name]
    grounds, air, beside = Grounds(facts), Air(facts), _beside(facts, name)
    now = facts.carriers.get(name)
    passed_over: list[tuple[int, str]] = []
    touches = retune(facts.plan, link)
    for spare in facts.plan.spares:
        if spare.kind != link.kind or spare.carrier_hz == now:
            continue
        reasons = grounds.against(link, spare.carrier_hz)
        hard = [reason.why for reason in reasons if not reason.soft]
        margin = air.margin(name, {**beside, name: spare.carrier_hz})
        if not hard and margin >= 0:
            shown = None if margin >= 10**11 else margin
            return Way(name, now, spare.carrier_hz, True, shown, touches, tuple(passed_over))  # noqa: FBT003
        passed_over.append((spare.carrier_hz, hard[0] if hard else "it clashes with who is on"))
    line = np.array([carrier for carrier in grounds.allowed(link).carriers_hz if carrier != now], dtype=np.int64)
    free = [int(carrier) for carrier in line[~air.blocked(name, line, beside)]]
    if not free:
        return None
    best = max(free, key=lambda carrier: (air.margin(name, {**beside, name: carrier}), -carrier))
    margin = air.margin(name, {**beside, name: best})
    return Way(name, now, best, False, None if margin >= 10**11 else margin, touches, tuple(passed_over))  # noqa: FBT003


def _beside(facts: Facts, name: str) -> dict[str, int]:
    return {other: carrier for other, carrier in facts.carriers.items() if other != name}


def _there(facts: Facts, link: Link, carrier_hz: int) -> Facts:
    from planlint.facts import Facts as Fresh

    moved = link._replace(carrier_hz=carrier_hz, auto=False, unused=None)
    there = Fresh(facts.plan._replace(links={**facts.plan.links, link.id: moved}), lambda: facts.siblings)
    there.scans = facts.scans
    return there


def _nearest(facts: Facts, grounds: Grounds, air: Air, link: Link, carrier_hz: int) -> tuple[int | None, int | None]:
    import numpy as np

    line = np.array(grounds.allowed(link).carriers_hz, dtype=np.int64)
    free = line[~air.blocked(link.id, line, _beside(facts, link.id))]
    below, above = free[free < carrier_hz], free[free > carrier_hz]
    return (int(below[-1]) if len(below) else None), (int(above[0]) if len(above) else None)
