"""Whether a pack still hears its transmitter, and a receiver its microphone, at the farthest spot.

Margin = wanted level - floor - needed carrier-to-noise ratio, in dB::

    wanted = EIRP - free-space loss - body loss - loss of sight + gain of the receiving antenna
    floor  = power in the scan over the emission's width, plus the receiver's own noise seen from its antenna

Free space: ITU-R P.525. Body loss: `policy.link.body_loss_db`, unwritten 20 dB (common practice, no source).
What a plan does not write is taken on the side that makes the margin smaller, and named: a receiver's noise
figure as 10 dB, a blocked sight as 15 dB (10 to 20, common practice, no source), a pack's own antenna as 0 dBi.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from planlint.document.nodes import escape
from planlint.facts import limits
from planlint.facts.chain import Part, parts
from planlint.facts.modes import needs_ci_db
from planlint.facts.packs import main_packs
from planlint.facts.power import sent
from planlint.facts.reach import Distance, distance
from planlint.facts.route import route
from planlint.facts.scan import NoFloor
from planlint.plan.model import Device, Link, Model, Pack, Plan
from planlint.rf.decibel import sum_dbm
from planlint.rf.noise import noise_floor_dbm
from planlint.rf.propagation import free_space_loss_db

if TYPE_CHECKING:
    from planlint.facts import Facts

BLOCKED_SIGHT_DB = 15.0
NOISE_FIGURE_DB = 10.0
PACK_ANTENNA_DBI = 0.0
_PRECISION_DB = 1e-6


class Setting(NamedTuple):
    """A power setting in mW and the margin in dB it gives."""

    power_mw: float
    margin_db: float


class Margin(NamedTuple):
    """The sum for one receiving unit at its farthest spot; levels in dBm, gains and losses in dB.

    Attributes:
        link, device, person: whose sum it is; `device` is the pack or the receiver.
        distance: the farthest spot, in m, and where it is written.
        power_mw: the power in force.
        eirp_dbm: what is radiated.
        path_db: free-space loss.
        body_db: body loss.
        sight_db: loss for a blocked sight.
        antenna_db: gain of the receiving antenna.
        wanted_dbm: wanted level at the receiving antenna's terminals.
        floor_dbm: floor there; `scan` is the scan it comes from.
        need_db: needed carrier-to-noise ratio.
        margin_db: what is left.
        limit_db: what the house wants.
        settings: the margin at each power setting of the transmitter, lowest power first.
        assumed: what was taken because it is unwritten, in words.
        coax_db: loss of the coax in the chain that reaches to the antenna.
        antennas: ids of the antennas in the chain.
        at: the pointer to show: the distance if it is written, else the link.
        unproven: pointers to write before a margin that is large enough may count as checked.
    """

    link: str
    device: str
    person: str | None
    distance: Distance
    power_mw: float
    eirp_dbm: float
    path_db: float
    body_db: float
    sight_db: float
    antenna_db: float
    wanted_dbm: float
    floor_dbm: float
    scan: str
    need_db: float
    margin_db: float
    limit_db: float
    settings: tuple[Setting, ...]
    assumed: tuple[str, ...]
    coax_db: float
    antennas: tuple[str, ...]
    unproven: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether the margin reaches the house's limit; exactly on it passes."""
        return self.margin_db >= self.limit_db - _PRECISION_DB

    @property
    def lowest(self) -> Setting | None:
        """The lowest power setting that holds, or None."""
        return next((each for each in self.settings if each.margin_db >= self.limit_db - _PRECISION_DB), None)

    @property
    def breaks_at_m(self) -> float:
        """The distance in m at which the margin falls to the house's limit (free space: 6 dB a doubling)."""
        return self.distance.metres * 10 ** ((self.margin_db - self.limit_db) / 20)

    @property
    def nearer_m(self) -> float:
        """By how many metres the antenna must come nearer for the limit; 0 where it holds."""
        return max(0.0, self.distance.metres - self.breaks_at_m)


class NoMargin(NamedTuple):
    """Why there is no margin for a unit: the pointers of what is missing."""

    link: str
    device: str
    needs: tuple[str, ...]


class _Receiving(NamedTuple):
    """A receiving unit: its antenna's gain, what is behind the antenna, and its noise figure, in dB."""

    device: Device
    mode: str | None
    mode_at: str
    gain_db: float
    behind_db: float
    sight_db: float
    coax_db: float
    antennas: tuple[str, ...]
    assumed: tuple[str, ...]


def margins(plan: Plan, facts: Facts) -> tuple[Margin | NoMargin, ...]:
    """Return the sum, or what it lacks, for every main pack and microphone receiver used tonight, by link."""
    found: list[Margin | NoMargin] = []
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.wants_carrier or link.kind not in {"ear", "mic"}:
            continue
        if name not in facts.carriers:
            found.append(NoMargin(name, name, (link.carrier_at,)))
        elif link.kind == "ear":
            found += [_ear(plan, facts, link, pack) for pack in main_packs(link)]
        else:
            found.append(_mic(plan, facts, link))
    return tuple(found)


def _ear(plan: Plan, facts: Facts, link: Link, pack: Pack) -> Margin | NoMargin:
    device = plan.devices.get(pack.id)
    if device is None or device.model is None:
        return NoMargin(link.id, pack.id, (f"/devices/{escape(pack.id)}/model",))
    gain = device.model.spec.get("own_antenna_gain_dbi")
    assumed = () if gain is not None else (f"pack antenna {PACK_ANTENNA_DBI:g} dBi",)
    mode = pack.settings.get("decodes")
    receiving = _Receiving(
        device,
        mode,
        f"{pack.at}/decodes",
        PACK_ANTENNA_DBI if gain is None else float(gain),
        0.0,
        0.0,
        0.0,
        (),
        assumed,
    )
    return _sum(plan, facts, link, pack.person, receiving)


def _mic(plan: Plan, facts: Facts, link: Link) -> Margin | NoMargin:
    device = plan.devices.get(link.rx) if link.rx else None
    if device is None or device.model is None:
        return NoMargin(link.id, link.rx or link.id, (f"{link.at}/rx",))
    way = route(plan, device, "in", "mic")
    if way.needs or not way.antennas:
        return NoMargin(link.id, device.id, way.needs or (f"{device.at}/into",))
    best: _Receiving | None = None
    for antenna in way.antennas:
        chain = parts(plan, way._replace(antennas=(antenna,)), facts.carriers[link.id])
        unknown = [need for part in chain for need in part.needs if not math.isfinite(part.gain_db.low)]
        if unknown:
            return NoMargin(link.id, device.id, tuple(unknown))
        here = _behind(plan, device, antenna, chain)
        if best is None or here.gain_db - here.sight_db > best.gain_db - best.sight_db:
            best = here
    assert best is not None
    return _sum(plan, facts, link, link.person, best)


def _behind(plan: Plan, device: Device, antenna: str, chain: tuple[Part, ...]) -> _Receiving:
    """Split a receiving chain at the antenna; unknown gains count at their lower bound."""
    gain = sum(part.gain_db.low for part in chain if part.what == "antenna")
    behind = sum(part.gain_db.low for part in chain if part.what != "antenna")
    coax = -sum(part.gain_db.low for part in chain if part.what == "coax")
    blocked = plan.section("antennas")[antenna].get("sight") == "blocked"
    return _Receiving(
        device, "mono", f"{device.at}/model", gain, behind, BLOCKED_SIGHT_DB if blocked else 0.0, coax, (antenna,), ()
    )


def _sum(plan: Plan, facts: Facts, link: Link, person: str | None, receiving: _Receiving) -> Margin | NoMargin:
    device, model = receiving.device, receiving.device.model
    assert model is not None
    far = distance(plan, person)
    transmitted = sent(plan, facts, link)
    floor = facts.scans.floors.get(link.id)
    need = needs_ci_db(model, link, receiving.mode)
    needs: list[str] = []
    needs += [] if isinstance(far, Distance) else list(far)
    needs += [] if transmitted.levels else list(transmitted.needs)
    needs += [f"{link.entry_at}/power_mw"] if link.power_mw is None else []
    needs += list(floor.needs) if isinstance(floor, NoFloor) else [] if floor else ["/scans"]
    if receiving.mode is None:
        needs.append(receiving.mode_at)
    elif need is None:
        needs.append(f"{model.at}/needs_ci_db/{escape(receiving.mode)}")
    levels = transmitted.levels
    if levels is not None and not math.isfinite(levels.eirp.low):
        needs += list(levels.eirp_needs)
    if (
        needs
        or not isinstance(far, Distance)
        or levels is None
        or need is None
        or floor is None
        or isinstance(floor, NoFloor)
    ):
        return NoMargin(link.id, device.id, tuple(dict.fromkeys(needs)))
    own, own_assumed = _own_noise_dbm(model, receiving.behind_db, facts.widths[link.id])
    body_written = limits.written(plan, "link.body_loss_db") is not None
    body = limits.number(plan, "link.body_loss_db")
    way_out_blocked = _blocked_out(plan, transmitted.route.antennas if transmitted.route else ())
    sight = receiving.sight_db + way_out_blocked
    path = free_space_loss_db(max(far.metres, 0.1), facts.carriers[link.id])
    total = sum_dbm([floor.power.dbm, own])
    loss = path + body + sight - receiving.gain_db
    margin = levels.eirp.low - loss - total - need
    coax = receiving.coax_db - sum(part.gain_db.low for part in transmitted.parts if part.what == "coax")
    assumed = (*receiving.assumed, *own_assumed, *(() if body_written else (f"body loss {body:g} dB",)))
    return Margin(
        link=link.id, device=device.id, person=person, distance=far, power_mw=float(link.power_mw or 0.0),
        eirp_dbm=levels.eirp.low, path_db=path, body_db=body, sight_db=sight, antenna_db=receiving.gain_db,
        wanted_dbm=levels.eirp.low - loss, floor_dbm=total, scan=floor.scan, need_db=need, margin_db=margin,
        limit_db=limits.number(plan, "link.margin_db"),
        settings=tuple(_settings(plan, facts, link, loss + total + need)),
        assumed=assumed, coax_db=coax,
        antennas=receiving.antennas or (transmitted.route.antennas if transmitted.route else ()),
        unproven=() if body_written else ("/policy/link/body_loss_db",),
    )  # fmt: skip


def _own_noise_dbm(model: Model, behind_db: float, width_hz: int) -> tuple[float, tuple[str, ...]]:
    """Return the receiver's own noise in dBm seen from its antenna's terminals, and what was assumed for it."""
    figure = model.spec.get("noise_figure_db")
    assumed = () if figure is not None else (f"receiver noise figure {NOISE_FIGURE_DB:g} dB",)
    noise = noise_floor_dbm(width_hz, NOISE_FIGURE_DB if figure is None else float(figure))
    return noise - min(behind_db, 0.0), assumed


def _blocked_out(plan: Plan, antennas: tuple[str, ...]) -> float:
    section = plan.section("antennas")
    return max((BLOCKED_SIGHT_DB for name in antennas if section[name].get("sight") == "blocked"), default=0.0)


def _settings(plan: Plan, facts: Facts, link: Link, against_db: float) -> Iterator[Setting]:
    device = plan.devices.get(link.tx) if link.tx else None
    powers = device.model.spec.get("powers_mw", ()) if device and device.model else ()
    for power in sorted(float(each) for each in powers):
        levels = sent(plan, facts, link, power).levels
        if levels is not None and math.isfinite(levels.eirp.low):
            yield Setting(power, levels.eirp.low - against_db)
