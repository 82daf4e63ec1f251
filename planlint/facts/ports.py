"""What arrives at the port that a unit or a combiner plugs into, in mW, within bounds."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple, cast

from planlint.facts.chain import NOTHING, Part, levels, model_at, parts
from planlint.facts.route import Route, plugged_in
from planlint.plan.model import Device, Link, Plan
from planlint.rf.chain import Basis
from planlint.rf.decibel import db_to_ratio, dbm_to_mw


class Arriving(NamedTuple):
    """Power in mW, least and most, of links used tonight, by id, and what to write so that it is known."""

    low_mw: float
    high_mw: float
    links: tuple[str, ...]
    needs: tuple[str, ...]


_NOTHING = Arriving(0.0, 0.0, (), ())


def arriving(plan: Plan, name: str) -> Arriving:
    """Return what a unit, or a box with all that goes through it, puts into the port it plugs into."""
    return _arriving(plan, name, ())


def _arriving(plan: Plan, name: str, above: tuple[str, ...]) -> Arriving:
    device = plan.devices[name]
    every = [plan.links[link] for link in sorted(plan.links) if plan.links[link].used and plan.links[link].tx == name]
    links = list({link.wide_emission or (link.id,): link for link in reversed(every)}.values())[::-1]
    if links:
        return _sum(_sent(device, link) for link in links)
    if name in above or device.model is None or device.model.role != "combiner":
        return _NOTHING
    inside = _sum(_arriving(plan, user, (*above, name)) for user in plugged_in(plan, name))
    part = parts(plan, Route(name, (name,)), 0)[0]
    return Arriving(
        inside.low_mw * db_to_ratio(part.gain_db.low),
        inside.high_mw * db_to_ratio(part.gain_db.high) if inside.high_mw else 0.0,
        inside.links,
        inside.needs + part.needs,
    )


def _sent(device: Device, link: Link) -> Arriving:
    """Return what leaves a transmitter's socket; unwritten, its power is one of its settings."""
    if device.model is None:
        return Arriving(0.0, math.inf, (link.id,), (model_at(device),))
    basis = cast("Basis | None", device.model.spec.get("power_basis"))
    settings = [float(power) for power in device.model.spec.get("powers_mw", ())]
    powers = [link.power_mw] if link.power_mw is not None else settings
    if not powers or basis is None:
        unwritten = [] if powers else [f"{link.entry_at}/power_mw"]
        unwritten += [] if basis else [f"{device.model.at}/power_basis"]
        return Arriving(0.0, math.inf, (link.id,), tuple(unwritten))
    lossless = (Part(device.id, "box", NOTHING), Part(device.id, "antenna", NOTHING))
    least, most = (levels(device, lossless, power, basis) for power in (min(powers), max(powers)))
    unset = () if least == most else (f"{link.entry_at}/power_mw",)
    return Arriving(
        dbm_to_mw(least.conducted.low), dbm_to_mw(most.conducted.high), (link.id,), least.conducted_needs + unset
    )


def _sum(found: Iterable[Arriving]) -> Arriving:
    every = list(found)
    return Arriving(
        sum(each.low_mw for each in every),
        sum(each.high_mw for each in every),
        tuple(link for each in every for link in each.links),
        tuple(need for each in every for need in each.needs),
    )
