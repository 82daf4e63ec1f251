"""Stretches of carriers that the place closes to one link: law, live TV, scans, other people, its own units.

Every wall is a closed interval of carriers in Hz. Edges follow the contract: law, TV, scans and other people's
carriers are judged by carrier ± emission/2, tuning by the carrier; exactly on a limit is allowed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts import limits
from planlint.facts.chain import pass_bands
from planlint.facts.ends import ends
from planlint.facts.festival import blocks
from planlint.facts.route import route
from planlint.facts.scan import covered, for_kind
from planlint.plan.model import Link
from planlint.plan.quantity import khz, mhz, to_hz
from planlint.rf.tv import channel_edges_hz

if TYPE_CHECKING:
    from planlint.facts import Facts

FAR_HZ = 10**12


class Wall(NamedTuple):
    """Carriers from `low_hz` to `high_hz`, both included, that a rule closes to a link, and why in words.

    `soft` walls keep a proposal away but do not make a link move: the remedy lies elsewhere (scan it).
    """

    rule: str
    low_hz: int
    high_hz: int
    why: str
    soft: bool = False


def walls(facts: Facts, link: Link) -> tuple[Wall, ...]:
    """Return every wall of a link, whatever the other links do."""
    return (
        *_tuning(facts, link),
        *_law(facts, link),
        *_allotted(facts, link),
        *_television(facts, link),
        *_shared(facts, link),
        *_parts(facts, link),
        *_others(facts, link),
        *_unseen(facts, link),
    )


def halves(facts: Facts, link: Link) -> tuple[int, int]:
    """Return how far a link's emission reaches below and above its carrier, in Hz."""
    width = facts.widths[link.id]
    return width // 2, (width + 1) // 2


def outside(rule: str, inside: Iterable[tuple[int, int]], why: str, *, soft: bool = False) -> Iterator[Wall]:
    """Yield the walls around some stretches: everything that lies in none of them."""
    edge = 0
    for low, high in sorted(inside):
        if high < low:
            continue
        if low > edge:
            yield Wall(rule, edge, low - 1, why, soft)
        edge = max(edge, high + 1)
    yield Wall(rule, edge, FAR_HZ, why, soft)


def _tuning(facts: Facts, link: Link) -> Iterator[Wall]:
    for end in ends(facts.plan, link):
        if end.model is not None and end.model.tuning:
            ranges = " and ".join(f"{mhz(r.low_hz)}-{mhz(r.high_hz)}" for r in end.model.tuning)
            yield from outside("carrier-out-of-tuning", end.model.tuning, f"{end.device} tunes {ranges} only")


def _law(facts: Facts, link: Link) -> Iterator[Wall]:
    region = facts.plan.region
    if region is None:
        return
    below, above = halves(facts, link)
    inside = [(band.low_hz + below, band.high_hz - above) for band in facts.bands]
    centre = [(band.low_hz, band.high_hz) for band in facts.bands]
    yield from outside("carrier-outside-band", centre, f"in no band of region {region.id}")
    for wall in outside("band-edge-touch", inside, f"its emission sticks out of every band of region {region.id}"):
        for low, high in centre:
            if wall.low_hz <= high and low <= wall.high_hz:
                yield wall._replace(low_hz=max(low, wall.low_hz), high_hz=min(high, wall.high_hz))
    for closed in region.closed:
        why = f"reaches into {mhz(closed.low_hz)}-{mhz(closed.high_hz)}, closed here: {closed.why}"
        yield Wall("reserved-service", closed.low_hz - above + 1, closed.high_hz + below - 1, why)


def _allotted(facts: Facts, link: Link) -> Iterator[Wall]:
    written = facts.plan.section("spectrum").get("allotted_mhz")
    if written is None:
        return
    below, above = halves(facts, link)
    joined: list[tuple[int, int]] = []
    for block, _ in sorted(blocks(written, "")):
        if joined and block.low_hz <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], block.high_hz))
        else:
            joined.append((block.low_hz, block.high_hz))
    yield from outside(
        "outside-block", [(low + below, high - above) for low, high in joined], "outside what was allotted"
    )


def _television(facts: Facts, link: Link) -> Iterator[Wall]:
    below, above = halves(facts, link)
    guard = limits.hertz(facts.plan, "tv_guard_khz", 0).hz
    for channel in facts.live_channels or ():
        low, high = channel.low_hz - above + 1, channel.high_hz + below - 1
        yield Wall("occupied-tv-channel", low, high, f"reaches into live TV {channel.number}")
        why = f"less than {khz(guard)} kHz from live TV {channel.number}"
        if guard > 0:
            yield Wall("tv-edge-guard", low - guard, low - 1, why)
            yield Wall("tv-edge-guard", high + 1, high + guard, why)


def _shared(facts: Facts, link: Link) -> Iterator[Wall]:
    region, town = facts.plan.region, facts.plan.show.get("town")
    entries = region.spec.get("land_mobile") if region is not None else None
    if region is None or town is None or not isinstance(entries, dict):
        return
    below, above = halves(facts, link)
    for entry in entries.values():
        if _plain(str(entry.get("town", ""))) != _plain(str(town)):
            continue
        blocks = []
        if "low_mhz" in entry and "high_mhz" in entry:
            blocks.append((to_hz(entry["low_mhz"], "mhz"), to_hz(entry["high_mhz"], "mhz")))
        for channel in entry.get("tv_channels", ()) if region.raster else ():
            try:
                blocks.append(channel_edges_hz(str(region.raster), channel))
            except ValueError:
                continue
        for low, high in blocks:
            why = f"two-way radio works in {mhz(low)}-{mhz(high)} in {entry['town']}"
            yield Wall("land-mobile-shared", low - above + 1, high + below - 1, why)


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _parts(facts: Facts, link: Link) -> Iterator[Wall]:
    for unit, way in ((link.tx, "out"), (link.rx, "in")):
        device = facts.plan.devices.get(unit) if unit else None
        if device is None:
            continue
        found = route(facts.plan, device, "out" if way == "out" else "in", link.kind)
        for part, band, _ in pass_bands(facts.plan, found):
            if band is not None:
                why = f"{part} passes {mhz(band.low_hz)}-{mhz(band.high_hz)} only"
                yield from outside("combiner-passband", [band], why)


def _others(facts: Facts, link: Link) -> Iterator[Wall]:
    for name in sorted(facts.plan.others):
        if name in facts.carriers and facts.meet(link.id, name):
            theirs, need = facts.carriers[name], (facts.widths[link.id] + facts.widths[name]) // 2
            if need > 0:
                why = f"less than {khz(need)} kHz from {name} {mhz(theirs)}"
                yield Wall("others-on-air-collision", theirs - need + 1, theirs + need - 1, why)


def _unseen(facts: Facts, link: Link) -> Iterator[Wall]:
    found = for_kind(facts.scans.all, link.kind)
    if not found or any(scan.points is None for scan in found):
        return
    below, above = halves(facts, link)
    seen = covered(facts.plan, found, facts.widths[link.id])
    inside = [(int(-(-low // 1)) + below, int(high // 1) - above) for low, high in seen]
    yield from outside("scan-gap", inside, f"no scan saw it ({', '.join(scan.id for scan in found)})", soft=True)
