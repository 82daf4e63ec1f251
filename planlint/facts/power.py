"""What a link's power is measured against: the region's rows that apply to it, each in its own basis.

An unlicensed row applies to everybody; a row of a licence class where a licence in the plan covers the carrier,
the place and the date. A link keeps within the law's power where one row that applies lets it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, cast

from planlint.document.nodes import escape
from planlint.facts import chain as chains
from planlint.facts.chain import Levels, Part, Span, transmitter
from planlint.facts.licences import Cover, cover
from planlint.facts.route import Route, way_out
from planlint.facts.spectrum import closed_at
from planlint.plan.model import Link, Plan, Row
from planlint.rf.chain import Basis
from planlint.rf.decibel import mw_to_dbm

if TYPE_CHECKING:
    from planlint.facts import Facts

Answer = Literal["within", "over", "unknown"]
_PRECISION_DB = 1e-6
"""Sums of logarithms come out this near: a level exactly on its limit passes."""


class Permission(NamedTuple):
    """The rows that hold a link's carrier.

    Attributes:
        applies: rows that anybody may use, or that a licence held opens.
        unknown: licensed rows of which it is not known whether a licence covers them.
        closed: licensed rows that no licence in the plan covers.
        covers: what the licences say, by row id.
    """

    applies: tuple[Row, ...]
    unknown: tuple[Row, ...]
    closed: tuple[Row, ...]
    covers: dict[str, Cover]

    @property
    def licence_needs(self) -> tuple[str, ...]:
        """Pointers to write so that it is known which licences cover the carrier."""
        return tuple(dict.fromkeys(need for row in self.unknown for need in self.covers[row.id].needs))


class Limit(NamedTuple):
    """A power limit in mW in its basis (bounds where it is not known which of two), and from where."""

    low_mw: float
    high_mw: float
    basis: Basis
    row: Row
    licence: str | None = None
    needs: tuple[str, ...] = ()


class Sent(NamedTuple):
    """What a link sends: its settings in mW, their basis, its way to the air and what leaves it.

    `needs` are pointers to write where nothing can be computed; `levels` is then None.
    """

    low_mw: float
    high_mw: float
    basis: Basis | None
    route: Route | None
    parts: tuple[Part, ...]
    levels: Levels | None
    needs: tuple[str, ...]


def permission(plan: Plan, facts: Facts, link: Link) -> Permission | None:
    """Return the rows that hold a link's carrier; None where it has none, or they are others' or nobody's.

    Where a band holds the whole emission, bands that it sticks out of are left aside.
    """
    if plan.region is None or link.id not in facts.carriers:
        return None
    carrier, (low, high) = facts.carriers[link.id], facts.edges(link.id)
    inside = [band for band in facts.bands if band.low_hz <= carrier <= band.high_hz]
    if not inside or closed_at(plan.region, low, high):
        return None
    bands = [band for band in inside if band.low_hz <= low and high <= band.high_hz] or inside
    rows = [row for band in bands for row in band.rows if row.low_hz <= carrier <= row.high_hz]
    covers = {row.id: cover(plan, row, low, high) for row in rows if row.licence_class != "unlicensed"}
    return Permission(
        tuple(row for row in rows if row.id not in covers or covers[row.id].held),
        tuple(row for row in rows if row.id in covers and not covers[row.id].held and covers[row.id].needs),
        tuple(row for row in rows if row.id in covers and not covers[row.id].held and not covers[row.id].needs),
        covers,
    )


def sent(plan: Plan, facts: Facts, link: Link, power_mw: float | None = None) -> Sent:
    """Return what a link sends, or what is missing to say so.

    Args:
        plan: the plan.
        facts: its facts.
        link: a link with a carrier.
        power_mw: a power setting to try instead of what the plan writes.
    """
    device = transmitter(plan, link)
    if device is None:
        key = "mic" if link.kind == "mic" else "tx"
        return Sent(0.0, math.inf, None, None, (), None, (f"{link.at}/{key}",))
    if device.model is None:
        return Sent(0.0, math.inf, None, None, (), None, (chains.model_at(device),))
    basis = cast("Basis | None", device.model.spec.get("power_basis"))
    settings = [float(power) for power in device.model.spec.get("powers_mw", ())]
    written = power_mw if power_mw is not None else link.power_mw
    powers = [written] if written is not None else settings
    needs = [] if powers else [f"{link.entry_at}/power_mw"]
    needs += [] if basis else [f"{device.model.at}/power_basis"]
    found = way_out(plan, device, link.kind)
    needs += found.needs
    if needs or basis is None:
        low, high = (min(powers), max(powers)) if powers else (0.0, math.inf)
        return Sent(low, high, basis, found, (), None, tuple(needs))
    parts = chains.parts(plan, found, facts.carriers[link.id])
    least, most = (chains.levels(device, parts, power, basis) for power in (min(powers), max(powers)))
    return Sent(min(powers), max(powers), basis, found, parts, _between(link, least, most), ())


def row_limit(plan: Plan, link: Link, row: Row) -> Limit:
    """Return a row's power limit for a link.

    The limit for hand-held units holds where the model says `worn: handheld`; where a microphone's model does
    not say, the limit is one of the two.
    """
    if row.power_mw is None or row.power_basis is None:
        key = "power_mw" if row.power_mw is None else "power_basis"
        return Limit(0.0, math.inf, "eirp", row, None, (f"/rows/{escape(row.id)}/{key}",))
    basis = cast("Basis", row.power_basis)
    handheld = row.spec.get("power_handheld_mw")
    device = transmitter(plan, link)
    model = device.model if device else None
    if handheld is None or model is None:
        return Limit(row.power_mw, row.power_mw, basis, row)
    worn = model.spec.get("worn")
    if worn == "handheld":
        return Limit(float(handheld), float(handheld), basis, row)
    if worn is None and (link.kind == "mic" or model.role == "mic-transmitter"):
        pair = sorted((row.power_mw, float(handheld)))
        return Limit(pair[0], pair[1], basis, row, None, (f"{model.at}/worn",))
    return Limit(row.power_mw, row.power_mw, basis, row)


def limits(plan: Plan, link: Link, row: Row, held: tuple[str, ...]) -> list[tuple[Limit, ...]]:
    """Return, for each licence that opens a row (once for an unlicensed row), the limits that hold together."""
    own = row_limit(plan, link, row)
    if row.licence_class == "unlicensed":
        return [(own,)]
    section = plan.section("licences")
    return [(own, *_licensed(name, section[name], row)) for name in held]


def judge(levels: Levels, limit: Limit) -> Answer:
    """Say whether levels keep within a limit, exceed it, or cannot be told."""
    if excess_db(levels, limit).high <= _PRECISION_DB:
        return "within"
    return "over" if excess_db(levels, limit).low > _PRECISION_DB else "unknown"


def excess_db(levels: Levels, limit: Limit) -> Span:
    """Return by how many dB levels exceed a limit, within bounds; negative where they keep below it."""
    low = mw_to_dbm(limit.low_mw) if limit.low_mw > 0 else -math.inf
    high = mw_to_dbm(limit.high_mw) if limit.high_mw < math.inf else math.inf
    level = levels.at(limit.basis)
    return Span(level.low - high if level.low > -math.inf else -math.inf, level.high - low)


def _licensed(name: str, spec: dict[str, Any], row: Row) -> tuple[Limit, ...]:
    if "power_mw" not in spec:
        return ()
    power, basis = float(spec["power_mw"]), spec.get("power_basis")
    if basis is None:
        return (Limit(0.0, math.inf, "eirp", row, name, (f"/licences/{escape(name)}/power_basis",)),)
    return (Limit(power, power, basis, row, name),)


def _between(link: Link, least: Levels, most: Levels) -> Levels:
    """Return the levels of a power that is one of several settings: from the least's to the most's."""
    unset = () if least == most else (f"{link.entry_at}/power_mw",)
    return Levels(
        Span(least.conducted.low, most.conducted.high),
        Span(least.eirp.low, most.eirp.high),
        least.conducted_needs + unset,
        least.eirp_needs + unset,
    )
