"""What lies around one link on one carrier: the law's rows, live TV, neighbours, the floor, who tunes it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Literal, NamedTuple

from planlint.facts import limits, relations
from planlint.facts.ends import ends, ranges_of
from planlint.facts.scan import Floor
from planlint.plan.model import Link, Model
from planlint.plan.quantity import khz
from planlint.rf import intermodulation

if TYPE_CHECKING:
    from planlint.assign.clash import Air
    from planlint.facts import Facts

Side = Literal["below", "above", "on it"]


class Row(NamedTuple):
    """A band of the region that holds the carrier: edges in Hz, classes of licence, how well its source is known."""

    low_hz: int
    high_hz: int
    classes: tuple[str, ...]
    status: str


class Channel(NamedTuple):
    """A live TV channel: its number, on which side it is, and the gap in Hz from the emission's edge to its edge."""

    number: int
    side: Side
    gap_hz: int


class Neighbour(NamedTuple):
    """A carrier that is on at the same time: which, where, on which side, and the least distance from it, in Hz."""

    id: str
    carrier_hz: int
    side: Side
    gap_hz: int
    limit_hz: int


class Level(NamedTuple):
    """The floor from a scan in dBm in 200 kHz, the scan's id, and the highest usable level."""

    dbm: float
    scan: str
    usable_dbm: float


class Tunes(NamedTuple):
    """A unit on the link, and whether its model tunes the carrier; None where the model or its ranges are unknown."""

    unit: str
    tunes: bool | None


class Around(NamedTuple):
    """All of it; `rows` and `channels` are None where region or live channels are not known.

    `neighbours` are the nearest on each side, and the one with the least room to its limit where that is another.
    """

    low_hz: int
    high_hz: int
    units: tuple[Tunes, ...]
    rows: tuple[Row, ...] | None
    channels: tuple[Channel, ...] | None
    guard_hz: int
    floor: Level | None
    neighbours: tuple[Neighbour, ...]


class Nearest(NamedTuple):
    """The pair or relation that is nearest to its limit, or farthest within it: in words, and both in Hz."""

    text: str
    ids: tuple[str, ...]
    offset_hz: int
    limit_hz: int


def around(facts: Facts, air: Air, links: Sequence[Link], carrier_hz: int, beside: Mapping[str, int]) -> Around:
    """Return what lies around a link on a carrier in Hz, with the others where they are.

    Args:
        facts: of the plan.
        air: with the link on it.
        links: the link, and those that share its emission.
        carrier_hz: where it is.
        beside: the others' carriers in Hz.
    """
    link = links[0]
    width = air.widths[link.id]
    low, high = carrier_hz - width // 2, carrier_hz + (width + 1) // 2
    rows = None
    if facts.plan.region is not None:
        rows = tuple(
            Row(
                band.low_hz,
                band.high_hz,
                tuple(sorted({str(row.licence_class) for row in band.rows})),
                band.status,
            )
            for band in facts.bands
            if band.low_hz <= carrier_hz <= band.high_hz
        )
    guard = limits.hertz(facts.plan, "tv_guard_khz", 0).hz
    return Around(
        low, high, tuple(_units(facts, links, carrier_hz)), rows, _channels(facts, low, high), guard,
        _floor(facts, link, low, high), neighbours(air, link.id, carrier_hz, beside),
    )  # fmt: skip


def neighbours(air: Air, name: str, carrier_hz: int, beside: Mapping[str, int]) -> tuple[Neighbour, ...]:
    """Return who is nearest to an id on a carrier in Hz on each side, and who has the least room to their limit."""
    found = [
        Neighbour(
            other,
            beside[other],
            _side(beside[other] - carrier_hz),
            abs(beside[other] - carrier_hz),
            air.apart(name, other),
        )
        for other in sorted(_company(air, name, beside))
    ]
    chosen = {
        min((one for one in found if one.side == side), key=lambda one: one.gap_hz)
        for side in {one.side for one in found}
    }
    if found:
        chosen.add(min(found, key=lambda one: (one.gap_hz - one.limit_hz, one.gap_hz, one.id)))
    return tuple(sorted(chosen, key=lambda one: (one.carrier_hz, one.id)))


def nearest(air: Air, name: str, placed: Mapping[str, int]) -> Nearest | None:
    """Return the pair or relation of a placed id that is least far past its limit; None where nothing is near."""
    margin = air.margin(name, placed)
    if margin >= 10**11:
        return None
    own = placed[name]
    for other in sorted(_company(air, name, placed)):
        gap, limit = abs(placed[other] - own), air.apart(name, other)
        if gap - limit == margin:
            return Nearest(f"{name} and {other} are {khz(gap)} kHz apart", (name, other), gap, limit)
    return next(_relations(air, name, placed, margin), None)


def _relations(air: Air, name: str, placed: Mapping[str, int], margin: int) -> Iterator[Nearest]:
    ids = sorted(_company(air, name, placed) | {name})
    sets = [[ids.index(one) for one in sorted(on & set(ids))] for on in air.sets if name in on]
    widest = max(air.widths[one] for one in ids)
    bounds = (air.limit(kind, widest) for kind in relations.KINDS)
    reach = intermodulation.Limits(*(bound and max(bound + margin, 0) + 1 for bound in bounds))
    for found in intermodulation.relations_within([placed[one] for one in ids], reach, sets):
        members = tuple(sorted({ids[at] for _, at in found.left + found.right}))
        limit = air.limit(found.kind, max(air.widths[one] for one in members))
        if name in members and found.offset_hz - limit == margin:
            yield Nearest(_equation(found, ids), members, found.offset_hz, limit)


def _equation(found: intermodulation.Relation, ids: Sequence[str]) -> str:
    """Write a relation as the rules do: larger factors first, then ids; of equal sides the one with the first id."""
    sides = [sorted((-factor, ids[at]) for factor, at in side) for side in (found.left, found.right)]
    if [factor for factor, _ in sides[0]] == [factor for factor, _ in sides[1]]:
        sides.sort(key=lambda side: min(name for _, name in side))
    return " = ".join(
        " + ".join(name if factor == -1 else f"{-factor}*{name}" for factor, name in side) for side in sides
    )


def _company(air: Air, name: str, placed: Mapping[str, int]) -> set[str]:
    return {one for on in air.sets if name in on for one in on if one in placed and one != name}


def _channels(facts: Facts, low_hz: int, high_hz: int) -> tuple[Channel, ...] | None:
    if facts.live_channels is None:
        return None
    below = [Channel(one.number, "below", low_hz - one.high_hz) for one in facts.live_channels if one.high_hz <= low_hz]
    above = [Channel(one.number, "above", one.low_hz - high_hz) for one in facts.live_channels if one.low_hz >= high_hz]
    on = [
        Channel(one.number, "on it", 0) for one in facts.live_channels if one.low_hz < high_hz and low_hz < one.high_hz
    ]
    return (*below[-1:], *on, *above[:1])


def _side(distance_hz: int) -> Side:
    return "on it" if distance_hz == 0 else "above" if distance_hz > 0 else "below"


def _floor(facts: Facts, link: Link, low_hz: int, high_hz: int) -> Level | None:
    found = facts.scans.floor_between(link.kind, low_hz, high_hz) if facts.scans.all else None
    if not isinstance(found, Floor):
        return None
    return Level(found.power.line_dbm, found.scan, limits.number(facts.plan, "floor_dbm.usable"))


def _units(facts: Facts, links: Sequence[Link], carrier_hz: int) -> Iterator[Tunes]:
    models = {end.device: end.model for link in links for end in ends(facts.plan, link)}
    for unit, model in models.items():
        yield Tunes(unit, None if model is None or not model.tuning else _tunes(model, carrier_hz))


def _tunes(model: Model, carrier_hz: int) -> bool:
    step = model.step_hz
    return any(not step or (carrier_hz - span.low_hz) % step == 0 for span in ranges_of(model, carrier_hz))
