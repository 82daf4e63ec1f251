"""Where the DC that feeds amplified antennas goes, along the way from a receiver's socket to an antenna.

A part may send DC towards the antenna (`sends_bias`), stop it (`blocks_dc`), short it (`shorts_dc`) or need it
(`needs_bias`). An antenna without an amplifier needs none unless it says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal, NamedTuple

from planlint.document.nodes import escape
from planlint.facts.route import Route
from planlint.plan.model import Plan


class Fed(NamedTuple):
    """What DC does at one part of a chain.

    Attributes:
        part: the device's or antenna's id.
        at: the pointer to where its properties are written.
        what: `shorted`, `starved`, or `unknown`.
        source: the part whose DC is shorted, where that is the matter.
        needs: pointers to write where it is not known.
    """

    part: str
    at: str
    what: Literal["shorted", "starved", "unknown"]
    source: str | None = None
    needs: tuple[str, ...] = ()


class _Line(NamedTuple):
    """DC on the line: there, not there or not known (None), where from, and what would tell."""

    on: bool | None = False
    source: str | None = None
    needs: tuple[str, ...] = ()


def along(plan: Plan, way: Route, antenna: str) -> Iterator[Fed]:
    """Yield what is wrong or not known about DC, from the receiver to one antenna at the end of its way in."""
    line = _Line()
    for name in (way.device, *way.boxes):
        device = plan.devices[name]
        spec = device.model.spec if device.model else {}
        at = device.model.at if device.model else f"{device.at}/model"
        yield from _at(name, at, spec, line, needed=False)
        line = _after(name, at, spec, line)
    at, spec = f"/antennas/{escape(antenna)}", plan.section("antennas")[antenna]
    yield from _at(antenna, at, spec, line, needed=None if "amplifier_db" in spec else False)


def _at(name: str, at: str, spec: Mapping[str, Any], line: _Line, *, needed: bool | None) -> Iterator[Fed]:
    shorts = spec.get("shorts_dc")
    needs = spec.get("needs_bias", needed)
    if line.on is not False and shorts is not False:
        lacking = (*line.needs, *(() if shorts else (f"{at}/shorts_dc",)))
        if line.on and shorts:
            yield Fed(name, at, "shorted", line.source)
        else:
            yield Fed(name, at, "unknown", needs=lacking)
    if not line.on and needs is not False:
        lacking = (*line.needs, *(() if needs else (f"{at}/needs_bias",)))
        if needs and line.on is False:
            yield Fed(name, at, "starved")
        else:
            yield Fed(name, at, "unknown", needs=lacking)


def _after(name: str, at: str, spec: Mapping[str, Any], line: _Line) -> _Line:
    """Return the line behind a part, on its side towards the antenna."""
    sends, blocks = spec.get("sends_bias"), spec.get("blocks_dc")
    if sends:
        return _Line(on=True, source=name)
    if line.on and blocks is False:
        return line
    lacking = () if sends is False else (f"{at}/sends_bias",)
    if line.on is not False and blocks is not True:
        needs = (*line.needs, *(() if blocks is False else (f"{at}/blocks_dc",)), *lacking)
        return _Line(on=None, source=line.source, needs=needs)
    return _Line(on=None if lacking else False, needs=lacking)
