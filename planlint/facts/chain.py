"""What stands between a unit's antenna socket and the air, and what leaves the antenna.

`into` says what a socket plugs into: a combiner or splitter, an antenna, or `none` (the unit's own antenna).
Unwritten it is the rack's only combiner (for transmitters) or splitter (for receivers), if there is exactly
one. An antenna names what it is fed `through`. Levels in dB add up along the way.

A figure that the plan does not write is kept as the bounds that physics gives it: a passive part cannot
amplify, an antenna can have any gain. So an unwritten loss may still let a level be judged, and never by
assumption.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal, NamedTuple

from planlint.document.nodes import escape
from planlint.facts.route import Route
from planlint.plan.model import Device, Link, Plan, Range
from planlint.plan.quantity import to_hz
from planlint.rf.chain import Basis, eirp_dbm
from planlint.rf.coax import CABLES, coax_loss_db
from planlint.rf.decibel import DIPOLE_GAIN_DBI

What = Literal["box", "coax", "amplifier", "antenna", "own antenna"]


class Span(NamedTuple):
    """A level or gain in dB known within bounds; equal bounds where it is known."""

    low: float
    high: float

    @property
    def known(self) -> bool:
        """Whether both bounds are the same."""
        return self.low == self.high

    def plus(self, other: Span, sign: int = 1) -> Span:
        """Return the sum, or with `sign` -1 the difference, of two spans."""
        if sign > 0:
            return Span(self.low + other.low, self.high + other.high)
        return Span(self.low - other.high, self.high - other.low)


NOTHING = Span(0.0, 0.0)
PASSIVE = Span(-math.inf, 0.0)
UNKNOWN = Span(-math.inf, math.inf)


class Part(NamedTuple):
    """One part of a chain.

    Attributes:
        id: the device, or the antenna that the part belongs to.
        what: what it is.
        gain_db: what it adds, in dB; a loss is negative.
        needs: pointers to write so that the gain is known.
    """

    id: str
    what: What
    gain_db: Span
    needs: tuple[str, ...] = ()


class Levels(NamedTuple):
    """Levels in dBm that leave a chain, and what each lacks.

    Attributes:
        conducted: the highest level between the socket and the antenna: the stricter reading of a limit that
            is counted before the antenna.
        eirp: what is radiated, over an isotropic antenna.
        conducted_needs: pointers to write so that `conducted` is known.
        eirp_needs: pointers to write so that `eirp` is known.
    """

    conducted: Span
    eirp: Span
    conducted_needs: tuple[str, ...]
    eirp_needs: tuple[str, ...]

    def at(self, basis: Basis) -> Span:
        """Return the level in dBm as a limit of that basis counts it."""
        if basis == "conducted":
            return self.conducted
        return self.eirp.plus(Span(DIPOLE_GAIN_DBI, DIPOLE_GAIN_DBI), -1) if basis == "erp" else self.eirp

    def needs(self, basis: Basis) -> tuple[str, ...]:
        """Return what to write so that the level in that basis is known."""
        return self.conducted_needs if basis == "conducted" else self.eirp_needs


def parts(plan: Plan, found: Route, carrier_hz: int) -> tuple[Part, ...]:
    """Return the parts between a transmitter's socket and the air, antenna last.

    Args:
        plan: the plan.
        found: the way out, with one antenna or the unit's own.
        carrier_hz: the carrier in Hz, for the loss of coax that is written by kind and length.
    """
    boxes = [_box(plan.devices[name]) for name in found.boxes]
    if found.antennas:
        return (*boxes, *_antenna(plan, found.antennas[0], carrier_hz))
    last = plan.devices[found.boxes[-1] if found.boxes else found.device]
    return (*boxes, _own_antenna(last))


def levels(device: Device, chain: tuple[Part, ...], power_mw: float, basis: Basis) -> Levels:
    """Return the levels that a power gives at the end of a chain.

    A power rated as ERP or EIRP is rated with the unit's own antenna: with that antenna it is what is
    radiated; into anything else, the own antenna's gain is taken off first.

    Args:
        device: the transmitter.
        chain: its parts, antenna last.
        power_mw: its power in mW.
        basis: what that power means.
    """
    rated = eirp_dbm(power_mw, basis)
    level, needs = Span(rated, rated), tuple[str, ...]()
    own = _own_antenna(device)
    if basis != "conducted":
        if chain[-1] == own and len(chain) == 1:
            return Levels(level.plus(own.gain_db, -1), level, own.needs, ())
        level, needs = level.plus(own.gain_db, -1), own.needs
    conducted = level
    for part in chain[:-1]:
        level = level.plus(part.gain_db)
        conducted = Span(max(conducted.low, level.low), max(conducted.high, level.high))
        needs += part.needs
    before = () if conducted.known else needs
    return Levels(conducted, level.plus(chain[-1].gain_db), before, needs + chain[-1].needs)


def pass_bands(plan: Plan, found: Route) -> Iterator[tuple[str, Range | None, str]]:
    """Yield the id, the pass band (None where unwritten) and its pointer, of every part of a chain."""
    for name in found.boxes:
        device = plan.devices[name]
        at = f"{device.model.at}/passband_mhz" if device.model else model_at(device)
        yield name, _band(device.model.spec if device.model else {}), at
    for name in found.antennas:
        yield name, _band(plan.section("antennas")[name]), f"/antennas/{escape(name)}/passband_mhz"


def model_at(device: Device) -> str:
    """Return the pointer to what says tonight's model of a device."""
    return f"/hired/{escape(device.id)}/model" if device.hired else f"{device.at}/model"


def transmitter(plan: Plan, link: Link) -> Device | None:
    """Return a link's transmitter, if the plan defines it."""
    return plan.devices.get(link.tx) if link.tx else None


def _band(spec: dict[str, object] | object) -> Range | None:
    band = spec.get("passband_mhz") if isinstance(spec, dict) else None
    if not isinstance(band, dict) or not {"low", "high"} <= band.keys():
        return None
    return Range(to_hz(band["low"], "mhz"), to_hz(band["high"], "mhz"))


def _exactly(value: object) -> Span:
    number = float(str(value))
    return Span(number, number)


def _box(device: Device) -> Part:
    if device.model is None:
        return Part(device.id, "box", UNKNOWN, (model_at(device),))
    loss = device.model.spec.get("loss_db")
    if loss is not None:
        return Part(device.id, "box", NOTHING.plus(_exactly(loss), -1))
    bounds = PASSIVE if device.model.spec.get("active") is False else UNKNOWN
    return Part(device.id, "box", bounds, (f"{device.model.at}/loss_db",))


def _own_antenna(device: Device) -> Part:
    if device.model is None:
        return Part(device.id, "own antenna", UNKNOWN, (model_at(device),))
    gain = device.model.spec.get("own_antenna_gain_dbi")
    if gain is None:
        return Part(device.id, "own antenna", UNKNOWN, (f"{device.model.at}/own_antenna_gain_dbi",))
    return Part(device.id, "own antenna", _exactly(gain))


def _antenna(plan: Plan, name: str, carrier_hz: int) -> Iterator[Part]:
    spec, at = plan.section("antennas")[name], f"/antennas/{escape(name)}"
    yield _coax(name, spec.get("coax", {}), f"{at}/coax", carrier_hz)
    if "amplifier_db" in spec:
        yield Part(name, "amplifier", _exactly(spec["amplifier_db"]))
    if "gain_dbi" in spec:
        yield Part(name, "antenna", _exactly(spec["gain_dbi"]))
    else:
        yield Part(name, "antenna", UNKNOWN, (f"{at}/gain_dbi",))


def _coax(name: str, spec: dict[str, object], at: str, carrier_hz: int) -> Part:
    needs = (f"{at}/loss_db",)
    if "loss_db" in spec:
        return Part(name, "coax", NOTHING.plus(_exactly(spec["loss_db"]), -1))
    kind, length = spec.get("kind"), spec.get("length_m")
    if length is None or (kind not in CABLES and float(str(length)) > 0):
        return Part(name, "coax", PASSIVE, needs)
    if float(str(length)) == 0:
        return Part(name, "coax", NOTHING)
    loss = coax_loss_db(str(kind), float(str(length)), carrier_hz)
    share = CABLES[str(kind)].tolerance_pct / 100
    return Part(name, "coax", Span(-loss * (1 + share), -loss * (1 - share)), needs)
