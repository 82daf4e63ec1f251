"""The antennas at the venue: which units of which links use them, what lies behind them, how far apart they stand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.facts.chain import Part, Span, parts
from planlint.facts.route import Route, Way, route
from planlint.plan.model import Device, Link, Plan


class Use(NamedTuple):
    """A unit of a link used tonight, which way its signal goes, and its way from the socket to the air."""

    link: Link
    device: Device
    way: Way
    route: Route


class Apart(NamedTuple):
    """A distance between two antennas in m, and where it is written."""

    metres: float
    at: str


def uses(plan: Plan, way: Way) -> Iterator[Use]:
    """Yield each unit with an antenna socket on a link used tonight: transmitters (`out`) or receivers (`in`)."""
    for name in sorted(plan.links):
        link = plan.links[name]
        unit = link.tx if way == "out" else link.rx
        device = plan.devices.get(unit) if unit else None
        if link.used and device is not None:
            yield Use(link, device, way, route(plan, device, way, link.kind))


def serves(plan: Plan, name: str) -> str | None:
    """Return the kind of link an antenna is for: as written, else the one kind of those that use it; else None."""
    written = plan.section("antennas")[name].get("for")
    if written is not None:
        return str(written)
    ways: tuple[Way, Way] = ("out", "in")
    kinds = {use.link.kind for way in ways for use in uses(plan, way) if name in use.route.antennas}
    return kinds.pop() if len(kinds) == 1 else None


def links_on(plan: Plan, name: str) -> tuple[Link, ...]:
    """Return the links used tonight whose transmitter or receiver uses an antenna, by id."""
    ways: tuple[Way, Way] = ("out", "in")
    found = {use.link.id: use.link for way in ways for use in uses(plan, way) if name in use.route.antennas}
    return tuple(found[name] for name in sorted(found))


def apart(plan: Plan, first: str, second: str) -> Apart | None:
    """Return how far two antennas stand apart, the smaller figure where both directions are written."""
    section = plan.section("apart_m")
    found = [
        Apart(float(section[one][other]), f"/apart_m/{escape(one)}/{escape(other)}")
        for one, other in ((first, second), (second, first))
        if other in section.get(one, {})
    ]
    return min(found, default=None)


def apart_at(first: str, second: str) -> str:
    """Return the pointer to where a distance belongs that is not written."""
    return f"/apart_m/{escape(first)}/{escape(second)}"


def behind(plan: Plan, name: str, carrier_hz: int) -> dict[str, Part]:
    """Return an antenna's own parts by what they are: coax, amplifier (if any) and antenna."""
    return {part.what: part for part in parts(plan, Route("", (), (name,)), carrier_hz)}


def total(chain: tuple[Part, ...]) -> tuple[Span, tuple[str, ...]]:
    """Return the gain in dB of some parts together, and what to write so that it is known."""
    gain, needs = Span(0.0, 0.0), tuple[str, ...]()
    for part in chain:
        gain, needs = gain.plus(part.gain_db), needs + part.needs
    return gain, needs
