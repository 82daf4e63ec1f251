"""The carriers that one link may take, whatever the other links do; and why another one is not among them.

Candidates are what every unit on the link can stand on: low + k * step of its ranges, and, where a unit tunes
only its stored carriers, those. Where no unit writes a step the raster is 25 kHz (common practice, no source);
where none writes a range, the candidates are the region's bands in which links of the plan stand already.
Walls (planlint/assign/walls.py), power, width and the scan's floor are taken off.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.powers import power_faults
from planlint.assign.walls import Wall, walls
from planlint.facts import limits
from planlint.facts.ends import ends, ranges_of
from planlint.facts.groups import held_by, unknown_holders
from planlint.facts.scan import Floor
from planlint.facts.settings import units
from planlint.plan.model import Link
from planlint.plan.quantity import khz, mhz

if TYPE_CHECKING:
    from planlint.facts import Facts

RASTER_HZ = 25_000


class Reason(NamedTuple):
    """A rule that speaks against a carrier, and why in words; `soft` does not make a link move."""

    rule: str
    why: str
    soft: bool = False


class Allowed(NamedTuple):
    """What one link may take.

    Attributes:
        link: its id.
        carriers_hz: the carriers in rising order.
        tunable: how many carriers all its units can stand on.
        lost: how many of those each rule closes, by rule; one carrier may count under several.
        assumed: what was not known and taken for granted, in words.
    """

    link: str
    carriers_hz: tuple[int, ...]
    tunable: int
    lost: dict[str, int]
    assumed: tuple[str, ...]


class Grounds:
    """What each link may take, worked out once for each link."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self._walls: dict[str, tuple[Wall, ...]] = {}
        self._allowed: dict[str, Allowed] = {}

    def walls(self, link: Link) -> tuple[Wall, ...]:
        """Return the walls of a link."""
        if link.id not in self._walls:
            self._walls[link.id] = walls(self.facts, link)
        return self._walls[link.id]

    def allowed(self, link: Link) -> Allowed:
        """Return what a link may take."""
        if link.id not in self._allowed:
            self._allowed[link.id] = _allowed(self.facts, link, self.walls(link))
        return self._allowed[link.id]

    def against(self, link: Link, carrier_hz: int) -> tuple[Reason, ...]:
        """Return everything that speaks against a carrier, whatever the other links do; nothing if it is allowed."""
        found = [
            Reason(wall.rule, wall.why, wall.soft)
            for wall in self.walls(link)
            if wall.low_hz <= carrier_hz <= wall.high_hz
        ]
        found += _off_step(self.facts, link, carrier_hz)
        found += _not_stored(self.facts, link, carrier_hz)
        found += [Reason(rule, why, soft) for rule, why, soft in power_faults(self.facts, link, [carrier_hz])[0]]
        level = _floor_dbm(self.facts, link, carrier_hz)
        usable = limits.number(self.facts.plan, "floor_dbm.usable")
        if level is not None and level > usable:
            found.append(Reason("floor-over-usable", f"the floor is {level:.1f} dBm, usable {usable:g}"))
        return tuple(dict.fromkeys(found))


def _allowed(facts: Facts, link: Link, closed: Sequence[Wall]) -> Allowed:
    candidates, assumed = _tunable(facts, link)
    lost: dict[str, int] = {}
    open_ = [True] * len(candidates)
    for rule in dict.fromkeys(wall.rule for wall in closed):
        hit = [False] * len(candidates)
        for wall in closed:
            if wall.rule == rule:
                first, last = bisect_left(candidates, wall.low_hz), bisect_right(candidates, wall.high_hz)
                hit[first:last] = [True] * (last - first)
        if any(hit):
            lost[rule] = sum(hit)
            open_ = [was and not now for was, now in zip(open_, hit, strict=True)]
    left = [carrier for carrier, free in zip(candidates, open_, strict=True) if free]
    judged = power_faults(facts, link, left)
    fine = any(all(rule == "licence-missing-for-power" for rule, *_ in faults) for faults in judged)
    kept = []
    for carrier, faults in zip(left, judged, strict=True):
        # A power or width that is over everywhere is no matter of carriers.
        here = [rule for rule, _, soft in faults if not soft or fine]
        for rule in here:
            lost[rule] = lost.get(rule, 0) + 1
        if not here:
            kept.append(carrier)
    usable = limits.number(facts.plan, "floor_dbm.usable")
    quiet = []
    for carrier in kept:
        level = _floor_dbm(facts, link, carrier)
        if level is not None and level > usable:
            lost["floor-over-usable"] = lost.get("floor-over-usable", 0) + 1
        else:
            quiet.append(carrier)
    return Allowed(link.id, tuple(quiet), len(candidates), lost, assumed)


def _tunable(facts: Facts, link: Link) -> tuple[list[int], tuple[str, ...]]:
    """Return the carriers that every unit on a link can stand on, and what was taken for granted."""
    models = [end.model for end in ends(facts.plan, link) if end.model is not None and end.model.tuning]
    stored = _stored(facts, link)
    assumed: list[str] = []
    sets: list[set[int]] = [set(carriers) for carriers in stored]
    sets += [
        {c for r in model.tuning for c in range(r.low_hz, r.high_hz + 1, model.step_hz)}
        for model in models
        if model.step_hz
    ]
    if sets:
        return sorted(set.intersection(*sets)), ()
    if models:
        spans = [(r.low_hz, r.high_hz) for r in models[0].tuning]
        assumed.append(f"{link.id}: no step written, taken as {khz(RASTER_HZ)} kHz")
    else:
        spans = _home_bands(facts)
        assumed.append(f"{link.id}: no tuning range written, look whether its units reach what is proposed")
    return sorted({c for low, high in spans for c in range(-(-low // RASTER_HZ) * RASTER_HZ, high + 1, RASTER_HZ)}), (
        *assumed,
    )


def _home_bands(facts: Facts) -> list[tuple[int, int]]:
    """Return the region's bands in which links of the plan stand, or where none does those without a licence."""
    present = [facts.carriers[name] for name in facts.plan.links if name in facts.carriers]
    home = [band for band in facts.bands if any(band.low_hz <= carrier <= band.high_hz for carrier in present)]
    free = [band for band in facts.bands if any(row.licence_class == "unlicensed" for row in band.rows)]
    return [(band.low_hz, band.high_hz) for band in home or free]


def _stored(facts: Facts, link: Link) -> Iterator[list[int]]:
    """Yield what each unit of a link that may tune only stored carriers holds, where that is known."""
    if "groups" not in facts.plan.values:
        return
    unknown = unknown_holders(facts.plan)
    for unit in units(facts.plan, link, "may_tune", listeners=True):
        if unit.setting.value == "stored" and not unknown:
            yield [held.carrier_hz for held in held_by(facts.plan, unit.end.device)]


def _not_stored(facts: Facts, link: Link, carrier_hz: int) -> Iterator[Reason]:
    if "groups" not in facts.plan.values or unknown_holders(facts.plan):
        return
    for unit in units(facts.plan, link, "may_tune", listeners=True):
        if unit.setting.value == "stored":
            held = held_by(facts.plan, unit.end.device)
            if all(one.carrier_hz != carrier_hz for one in held):
                yield Reason("carrier-not-in-group", f"{unit.end.device} tunes stored carriers only, not this one")


def _off_step(facts: Facts, link: Link, carrier_hz: int) -> Iterator[Reason]:
    for end in ends(facts.plan, link):
        if end.model is None or not end.model.step_hz:
            continue
        step = end.model.step_hz
        spans = ranges_of(end.model, carrier_hz)
        if spans and all((carrier_hz - span.low_hz) % step for span in spans):
            below = carrier_hz - (carrier_hz - spans[0].low_hz) % step
            why = f"between the steps of {end.device} ({mhz(below)} or {mhz(below + step)})"
            yield Reason("carrier-off-step", why)


def _floor_dbm(facts: Facts, link: Link, carrier_hz: int) -> float | None:
    """Return the floor at a carrier in dBm in 200 kHz, or None where no scan says."""
    if not facts.scans.all:
        return None
    width = facts.widths[link.id]
    found = facts.scans.floor_between(link.kind, carrier_hz - width // 2, carrier_hz + (width + 1) // 2)
    return found.power.line_dbm if isinstance(found, Floor) else None
