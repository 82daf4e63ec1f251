"""Questions about one carrier: why not this one, what passes nearest to it, and where a dying link can go.

A link of a wide emission moves with all that share it, so it is looked at as the one that stands for them. A link that
is never on the air as the day is written (a stand-in) is looked at as if it were on beside everybody.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.allowed import Grounds, Reason
from planlint.assign.around import Around, Nearest, around, nearest
from planlint.assign.clash import Air, Clash
from planlint.facts import relations
from planlint.facts.hands import retune
from planlint.facts.interference import Estimate
from planlint.facts.relations import Named
from planlint.finding import Touch
from planlint.plan.model import Link

if TYPE_CHECKING:
    from planlint.facts import Facts

_NOTHING_NEAR_HZ = 10**11


class Look(NamedTuple):
    """Everything about one link on one carrier.

    Attributes:
        link, carrier_hz: which.
        reasons: what speaks against it whatever the other links do.
        clashes: pairs within their limit with it there.
        relations: intermodulation relations within their limit with it there, with the estimated C/I, lowest first.
        margin_hz: how far the nearest pair or relation is past its limit; negative within it, None: nothing near.
        nearest: that pair or relation.
        around: the law's rows, TV, floor, neighbours, units.
        below_hz, above_hz: the nearest carriers that pass, with everybody else where they are.
        with_it: links that share its wide emission and move with it.
    """

    link: str
    carrier_hz: int
    reasons: tuple[Reason, ...]
    clashes: tuple[Clash, ...]
    relations: tuple[tuple[Named, Estimate], ...]
    margin_hz: int | None
    nearest: Nearest | None
    around: Around
    below_hz: int | None
    above_hz: int | None
    with_it: tuple[str, ...]

    @property
    def passes(self) -> bool:
        """Whether nothing was found against it."""
        return not (self.reasons or self.clashes or self.relations)


class Way(NamedTuple):
    """Where a link can go at once.

    Attributes:
        link, old_hz: which, and its carrier now in Hz; None where it has none.
        carrier_hz: its new carrier in Hz.
        spare: whether that is a written spare.
        margin_hz: how far the nearest thing is past its limit there; None: nothing near.
        notes: what speaks against it without closing it, in words (no scan saw it; the link is pinned).
        touches: units and list entries, in the order of the plan.
        passed_over: written spares that do not pass, and why.
        with_it: links that share its wide emission and move with it.
    """

    link: str
    old_hz: int | None
    carrier_hz: int
    spare: bool
    margin_hz: int | None
    notes: tuple[str, ...]
    touches: tuple[Touch, ...]
    passed_over: tuple[tuple[int, str], ...]
    with_it: tuple[str, ...]


class NoWay(NamedTuple):
    """Why there is no way out.

    Attributes:
        tunable: how many carriers all units of the link can stand on.
        lost: how many of those each rule closes, by rule.
        allowed: how many are left; the others on the air close those.
    """

    tunable: int
    lost: Mapping[str, int]
    allowed: int


class _Place(NamedTuple):
    """A link as it is asked about: on the air, with everybody else where they are.

    `link` is the one that stands for its wide emission, and `with_it` are the others of that emission.
    """

    facts: Facts
    link: Link
    air: Air
    beside: dict[str, int]
    with_it: tuple[str, ...]


def look(facts: Facts, name: str, carrier_hz: int) -> Look:
    """Return everything about a link of the plan on a carrier in Hz."""
    here = _place(facts, name, carrier_hz)
    own, air, there = here.link.id, here.air, here.facts
    everyone = {**here.beside, own: carrier_hz}
    grounds = Grounds(facts)
    pairs = tuple(
        clash for clash in air.clashes(everyone) if own in clash.ids and not clash.rule.startswith("intermod-")
    )
    near = tuple(one for one in relations.find(there.plan, everyone, air.widths, air.sets) if own in one.ids)
    margin = air.margin(own, everyone)
    below, above = _nearest_that_pass(grounds, here, carrier_hz)
    return Look(
        name, carrier_hz, _against(grounds, here, carrier_hz), pairs, tuple(there.interference.ranked(near)),
        _shown(margin), nearest(air, own, everyone), around(facts, air, _links(here), carrier_hz, here.beside), below, above,
        _others(here, name),
    )  # fmt: skip


def way_out(facts: Facts, name: str, refused: Mapping[int, str] = MappingProxyType({})) -> Way | None:
    """Return where a dying link goes: the first written spare that passes for all its ends, else the widest margin.

    Args:
        facts: of the plan.
        name: the link.
        refused: carriers in Hz that are no way out, and why.

    Returns:
        None where no carrier passes with everybody else where they are.
    """
    now = facts.carriers.get(name)
    here = _place(facts, name, now)
    grounds, own = Grounds(facts), here.link.id
    passed_over: list[tuple[int, str]] = []
    for spare in facts.plan.spares:
        if spare.kind != here.link.kind or spare.carrier_hz == now:
            continue
        reasons = _against(grounds, here, spare.carrier_hz)
        if spare.carrier_hz in refused:
            passed_over.append((spare.carrier_hz, refused[spare.carrier_hz]))
            continue
        hard = [reason.why for reason in reasons if not reason.soft]
        everyone = {**here.beside, own: spare.carrier_hz}
        margin = here.air.margin(own, everyone)
        if not hard and margin >= 0:
            notes = tuple(reason.why for reason in reasons if reason.soft)
            return _way(facts, here, name, spare.carrier_hz, passed_over, notes, spare=True)
        near = nearest(here.air, own, everyone)
        passed_over.append((spare.carrier_hz, hard[0] if hard else f"too near: {near.text}" if near else "too near"))
    best = _widest(grounds, here, {now, *refused})
    return None if best is None else _way(facts, here, name, best, passed_over, (), spare=False)


def no_way(facts: Facts, name: str) -> NoWay:
    """Return why a link has no way out, where that is so."""
    here = _place(facts, name, facts.carriers.get(name))
    allowed = Grounds(facts).allowed(here.link)
    return NoWay(allowed.tunable, allowed.lost, len(_allowed(Grounds(facts), here)))


def _way(
    facts: Facts, here: _Place, name: str, carrier_hz: int, passed_over: list[tuple[int, str]], notes: tuple[str, ...],
    *, spare: bool,
) -> Way:  # fmt: skip
    margin = here.air.margin(here.link.id, {**here.beside, here.link.id: carrier_hz})
    links = [facts.plan.links[one] for one in (name, *_others(here, name))]
    touches = tuple(dict.fromkeys(touch for link in links for touch in retune(facts.plan, link)))
    notes += tuple(f"{link.id} is pinned: {link.pinned}" for link in links if link.pinned is not None)
    now = facts.carriers.get(name)
    return Way(name, now, carrier_hz, spare, _shown(margin), notes, touches, tuple(passed_over), _others(here, name))


def _others(here: _Place, name: str) -> tuple[str, ...]:
    """Return the links that move with a link, without it."""
    return tuple(sorted({here.link.id, *here.with_it} - {name}))


def _widest(grounds: Grounds, here: _Place, out: Collection[int | None]) -> int | None:
    import numpy as np

    own = here.link.id
    line = np.array([carrier for carrier in _allowed(grounds, here) if carrier not in out], dtype=np.int64)
    free = [int(carrier) for carrier in line[~here.air.blocked(own, line, here.beside)]]
    return max(free, key=lambda carrier: (here.air.margin(own, {**here.beside, own: carrier}), -carrier), default=None)


def _place(facts: Facts, name: str, carrier_hz: int | None) -> _Place:
    from planlint.facts import Facts as Fresh

    lead = facts.leaders.get(name, name)
    with_it = tuple(sorted(one for one, leader in facts.leaders.items() if leader == lead and one != lead))
    link = facts.plan.links[lead]
    never_on = not any(lead in ids for ids in facts.together)
    moved = link._replace(
        carrier_hz=carrier_hz, auto=False, unused=None, stands_in_for=None if never_on else link.stands_in_for
    )
    there = Fresh(facts.plan._replace(links={**facts.plan.links, lead: moved}), lambda: facts.siblings)
    there.scans = facts.scans
    beside = {other: carrier for other, carrier in facts.carriers.items() if other not in {lead, *with_it}}
    return _Place(there, moved, Air(there), beside, with_it)


def _nearest_that_pass(grounds: Grounds, here: _Place, carrier_hz: int) -> tuple[int | None, int | None]:
    import numpy as np

    line = np.array(_allowed(grounds, here), dtype=np.int64)
    free = line[~here.air.blocked(here.link.id, line, here.beside)]
    below, above = free[free < carrier_hz], free[free > carrier_hz]
    return (int(below[-1]) if len(below) else None), (int(above[0]) if len(above) else None)


def _links(here: _Place) -> tuple[Link, ...]:
    return (here.link, *(here.facts.plan.links[name] for name in here.with_it))


def _against(grounds: Grounds, here: _Place, carrier_hz: int) -> tuple[Reason, ...]:
    return tuple(dict.fromkeys(reason for link in _links(here) for reason in grounds.against(link, carrier_hz)))


def _allowed(grounds: Grounds, here: _Place) -> list[int]:
    """Return the carriers in Hz that the link and all that move with it may take."""
    return sorted(set.intersection(*(set(grounds.allowed(link).carriers_hz) for link in _links(here))))


def _shown(margin_hz: int) -> int | None:
    return None if margin_hz >= _NOTHING_NEAR_HZ else margin_hz
