"""What speaks against a spare carrier: tested as an added carrier in each on-air set, alone and in pairs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts import emission, relations, spacing, spectrum
from planlint.plan.model import Link, Spare
from planlint.plan.quantity import khz, mhz

if TYPE_CHECKING:
    from planlint.facts import Facts


class Clash(NamedTuple):
    """Why a spare cannot be used: in words, and the links and others concerned."""

    why: str
    ids: tuple[str, ...]
    offset_hz: int | None = None


def name_of(spare: Spare) -> str:
    """Return what a spare is called in a relation; no id can be the same, for ids have no spaces."""
    return f"spare {mhz(spare.carrier_hz)}"


def width_hz(facts: Facts, spare: Spare) -> int:
    """Return the emission width in Hz taken for a spare: the widest among the links of its kind."""
    widths = [facts.widths[name] for name, link in facts.plan.links.items() if _served(link, spare)]
    return max(widths, default=emission.unwritten_hz())


def _served(link: Link, spare: Spare) -> bool:
    """Say whether a spare is for a link: of its kind, on a carrier of its own, and no wide emission."""
    return link.kind == spare.kind and link.self_tuned is None and link.wide_emission is None


def alone(facts: Facts, spare: Spare) -> Iterator[Clash]:
    """Yield what speaks against one spare beside the live set: the law, TV, neighbours, intermodulation."""
    yield from _spectrum(facts, spare)
    members = frozenset().union(*facts.together) & facts.carriers.keys()
    for other in sorted(members):
        clash = _neighbour(facts, spare, other)
        if clash:
            yield clash
    yield from _relations(facts, [spare])


def pairwise(facts: Facts) -> Iterator[tuple[Spare, Spare, Clash]]:
    """Yield what speaks against two spares both being used: each other's neighbourhood, and relations of both."""
    for first, second in combinations(facts.plan.spares, 2):
        gap = abs(first.carrier_hz - second.carrier_hz)
        widths = (width_hz(facts, first), width_hz(facts, second))
        limit = spacing.limit_hz(facts.plan, (first.kind, second.kind), widths)
        if gap < limit:
            yield first, second, Clash(f"they are {khz(gap)} kHz apart, limit {khz(limit)}", ())
            continue
        for clash in _relations(facts, [first, second]):
            yield first, second, clash


def _spectrum(facts: Facts, spare: Spare) -> Iterator[Clash]:
    half = width_hz(facts, spare) // 2
    low, high = spare.carrier_hz - half, spare.carrier_hz + half
    region = facts.plan.region
    if region is not None:
        closed = spectrum.closed_at(region, low, high)
        if closed:
            yield Clash(f"it lies in {closed.why}", ())
        elif not any(band.low_hz <= low and high <= band.high_hz for band in facts.bands):
            yield Clash(f"it lies outside every band of region {region.id}", ())
    for channel in facts.live_channels or ():
        if channel.low_hz < high and low < channel.high_hz:
            yield Clash(f"it lies in live TV {channel.number}", ())


def _neighbour(facts: Facts, spare: Spare, other: str) -> Clash | None:
    gap = abs(spare.carrier_hz - facts.carriers[other])
    widths = (width_hz(facts, spare), facts.widths[other])
    link = facts.plan.links.get(other)
    limit = spacing.limit_hz(facts.plan, (spare.kind, spacing.like(link)), widths) if link else sum(widths) // 2
    if gap >= limit:
        return None
    if gap == 0:
        return Clash(f"{other} is on it", (other,), 0)
    return Clash(f"{other} is {khz(gap)} kHz away, limit {khz(limit)}", (other,), gap)


def _relations(facts: Facts, spares: list[Spare]) -> Iterator[Clash]:
    added = {name_of(spare): spare.carrier_hz for spare in spares}
    widths = {name_of(spare): width_hz(facts, spare) for spare in spares}
    sets = [ids | frozenset(added) for ids in facts.together]
    found = relations.find(facts.plan, {**facts.carriers, **added}, {**facts.widths, **widths}, sets)
    for named in found:
        if added.keys() <= set(named.ids):
            ids = tuple(name for name in named.ids if name not in added)
            near = "meets exactly" if named.offset_hz == 0 else f"meets within {khz(named.offset_hz)} kHz"
            yield Clash(f"{named.text} {near} (limit {khz(named.limit_hz)})", ids, named.offset_hz)
