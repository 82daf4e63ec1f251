"""What each carrier on the air sends, with what had to be assumed for it: the input of the C/I estimate."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.chain import Part
from planlint.facts.festival import between
from planlint.facts.power import sent
from planlint.plan.model import Link, Model, Plan
from planlint.rf.decibel import mw_to_dbm
from planlint.rf.propagation import free_space_loss_db

if TYPE_CHECKING:
    from planlint.facts import Facts

#: Taken where the plan says nothing. They rank findings, never lower a severity and never acquit; from memory.
OUTPUT_INTERCEPT_DBM = {3: 35.0, 5: 31.0}
INPUT_INTERCEPT_DBM = {3: -8.0, 5: -10.0}
COMBINER_ISOLATION_DB = 25.0
POWER_DBM = 10.0
BESIDE_M = 1.0  # two people with transmitters, or two whips on one rack
ACROSS_M = 3.0  # from the stage to the receivers' antennas, or rack to rack


class Sender(NamedTuple):
    """One transmitter on the air.

    Attributes:
        id: the link or other.
        carrier_hz: its carrier.
        conducted_dbm: power at its socket.
        gain_db: from the socket to what is radiated.
        boxes, antennas: its way to the air.
        worn: on a person, not in a rack.
        model: its model, if known.
        assumed: what was assumed about it, in words.
    """

    id: str
    carrier_hz: int
    conducted_dbm: float
    gain_db: float
    boxes: tuple[str, ...]
    antennas: tuple[str, ...]
    worn: bool
    model: Model | None
    assumed: tuple[str, ...]

    @property
    def eirp_dbm(self) -> float:
        """What is radiated, over an isotropic antenna."""
        return self.conducted_dbm + self.gain_db


def senders(plan: Plan, facts: Facts) -> dict[str, Sender]:
    """Return what every link and other with a carrier sends."""
    found = {}
    for name, carrier in sorted(facts.carriers.items()):
        link = plan.links.get(name)
        if link is None:
            power = plan.others[name].power_mw
            assumed = () if power is not None else (f"{name}: {POWER_DBM:g} dBm",)
            level = POWER_DBM if power is None else mw_to_dbm(power)
            found[name] = Sender(name, carrier, level, 0.0, (), (), worn=True, model=None, assumed=assumed)
        else:
            found[name] = _of_link(plan, facts, link, carrier)
    return found


def _of_link(plan: Plan, facts: Facts, link: Link, carrier: int) -> Sender:
    transmitted = sent(plan, facts, link)
    device = plan.devices.get(link.tx) if link.tx else None
    model = device.model if device else None
    route, levels = transmitted.route, transmitted.levels
    worn = link.kind == "mic" or (model is not None and model.role == "mic-transmitter")
    boxes, antennas = (route.boxes, route.antennas) if route else ((), ())
    if levels is None or not math.isfinite(levels.eirp.low) or not levels.eirp.known or link.power_mw is None:
        power = POWER_DBM if link.power_mw is None else mw_to_dbm(link.power_mw)
        words = (f"{link.id}: {power:.0f} dBm radiated",)
        return Sender(link.id, carrier, power, 0.0, boxes, antennas, worn, model, words)
    gain = _gain(transmitted.parts)
    return Sender(link.id, carrier, levels.eirp.low - gain, gain, boxes, antennas, worn, model, ())


def _gain(parts: tuple[Part, ...]) -> float:
    return sum(part.gain_db.low for part in parts if math.isfinite(part.gain_db.low))


def isolation(plan: Plan, first: Sender, second: Sender) -> tuple[float, tuple[str, ...]]:
    """Return the isolation in dB between two transmitters' sockets, and what was assumed for it.

    Through a shared combiner its isolation; on two stages what lies between these; else free space between their antennas
    (`apart_m`), both ways of each chain included.
    """
    shared = [box for box in first.boxes if box in second.boxes]
    if shared:
        model = plan.devices[shared[0]].model
        written = model.spec.get("isolation_db") if model else None
        if written is not None:
            return float(written), ()
        return COMBINER_ISOLATION_DB, (f"{shared[0]}: isolation {COMBINER_ISOLATION_DB:g} dB",)
    stages = between(plan, first.id, second.id)
    if stages is not None:
        path = free_space_loss_db(stages.metres, first.carrier_hz) + stages.walls_db
        return max(path - first.gain_db - second.gain_db, 0.0), ()
    metres, assumed = apart(plan, first.antennas, second.antennas, BESIDE_M if first.worn == second.worn else ACROSS_M)
    loss = free_space_loss_db(metres, first.carrier_hz) - first.gain_db - second.gain_db
    if not first.antennas or not second.antennas:
        assumed = (f"{first.id} to {second.id}: {metres:g} m",)
    return max(loss, 0.0), assumed


def apart(
    plan: Plan, first: tuple[str, ...], second: tuple[str, ...], otherwise_m: float
) -> tuple[float, tuple[str, ...]]:
    """Return the least written distance in m between antennas of two sets, else an assumed one, named."""
    section = plan.section("apart_m")
    written = [
        float(section[a][b])
        for one, two in ((first, second), (second, first))
        for a in one
        for b in two
        if isinstance(section.get(a), dict) and b in section[a]
    ]
    if written:
        return min(written), ()
    names = " to ".join(["/".join(first) or "own antenna", "/".join(second) or "own antenna"])
    return otherwise_m, (f"{names}: {otherwise_m:g} m",)
