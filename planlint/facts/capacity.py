"""How many carriers of a kind fit into the free spectrum at the house's spacing, at most.

Free is what lies in the allotted blocks, else in the region's rows, and in no live TV channel and no closed band. A carrier
must be within a tuning range of some unit of its kind, and its emission within one free stretch. From the bottom up,
each carrier as low as it may be, is the most that fits by spacing. How many can be clear of third order besides is bounded
by the whole span in closed form (`rf.clear_span`); a plain search from the bottom up shows how many at least there are.
Steps, other kinds and other people leave fewer.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.chain import model_at
from planlint.facts.festival import blocks
from planlint.facts.limits import hertz
from planlint.facts.spacing import limit_hz
from planlint.plan.model import Link, Plan, Range
from planlint.rf.clear_span import least_span, most_within

if TYPE_CHECKING:
    from planlint.facts import Facts


#: The step of a search where no unit's is written.
_STEP_HZ = 25_000


class Room(NamedTuple):
    """What is wanted of a kind and what fits; all in Hz. `needs` are pointers to write; nothing else is known then.

    `fits` is the most by spacing in `ranges` of carriers, `clear` a number that no set clear of third order exceeds by the
    house's limits for two and three signals, `guards_hz`: `fits` where what is wanted may be clear.
    """

    needs: tuple[str, ...]
    wanted: int = 0
    fits: int = 0
    free_hz: int = 0
    spacing_hz: int = 0
    links: tuple[str, ...] = ()
    ranges: tuple[Range, ...] = ()
    guards_hz: tuple[int, int] = (0, 0)
    step_hz: int = 1
    clear: int = 0


def room(plan: Plan, facts: Facts, kind: str, links: Sequence[Link]) -> Room:
    """Return how many of the links of a kind are on the air at once at most, and how many fit."""
    allotted = plan.section("spectrum").get("allotted_mhz")
    needs = [] if allotted is not None or plan.region is not None else [plan.region_at]
    needs += [] if facts.live_channels is not None else ["/spectrum/tv_occupied"]
    tuned: list[Range] = []
    for link in links:
        device = plan.devices.get(link.tx) if link.tx else None
        if device is None:
            needs.append(f"{link.at}/{'mic' if kind == 'mic' else 'tx'}")
        elif device.model is None or not device.model.tuning:
            needs.append(f"{device.model.at}/tuning_mhz" if device.model else model_at(device))
        else:
            tuned += device.model.tuning
    if needs:
        return Room(tuple(dict.fromkeys(needs)))
    open_stretches = _open(plan, facts)
    names = frozenset(link.id for link in links)
    width = min(facts.widths[name] for name in names)
    spacing = limit_hz(plan, (links[0].kind, links[0].kind), (width, width))
    ranges = [
        Range(max(stretch.low_hz + width // 2, span.low_hz), min(stretch.high_hz - width // 2, span.high_hz))
        for stretch in open_stretches
        for span in merged(tuned)
    ]
    together: frozenset[str] = max(
        (names & ids for ids in facts.together), key=lambda ids: (len(ids), sorted(ids)), default=frozenset()
    )
    reached = [
        Range(max(stretch.low_hz, span.low_hz), min(stretch.high_hz, span.high_hz))
        for stretch in open_stretches
        for span in merged(tuned)
    ]
    free = sum(max(0, span.high_hz - span.low_hz) for span in reached)
    fits = count(ranges, max(spacing, 1))
    guards = tuple(hertz(plan, f"intermod_khz.{each}", width).hz for each in ("two_signal_third", "three_signal_third"))
    spots = tuple(merged(span for span in ranges if span.low_hz <= span.high_hz))
    span_hz = spots[-1].high_hz - spots[0].low_hz if spots else 0
    clear = fits
    if min(guards) and least_span(len(together), max(spacing, 1), min(guards)) > span_hz:
        clear = most_within(span_hz, max(spacing, 1), min(guards), fits)
    steps = [step for link in links if (step := _step_hz(plan, link))]
    return Room(
        (), len(together), fits, free, spacing, tuple(sorted(together)), spots, (guards[0], guards[1]),
        min(steps, default=_STEP_HZ), clear,
    )  # fmt: skip


def _open(plan: Plan, facts: Facts) -> list[Range]:
    """Return the stretches that the allotted blocks, else the region's rows, leave open beside live TV channels."""
    allotted = plan.section("spectrum").get("allotted_mhz")
    given = [block for block, _ in blocks(allotted, "")] if allotted is not None else None
    allowed = given if given is not None else [Range(band.low_hz, band.high_hz) for band in facts.bands]
    taken = [Range(channel.low_hz, channel.high_hz) for channel in facts.live_channels or ()]
    if given is None and plan.region is not None:
        taken += [Range(band.low_hz, band.high_hz) for band in plan.region.closed]
    return without(merged(allowed), taken)


def _step_hz(plan: Plan, link: Link) -> int | None:
    device = plan.devices.get(link.tx) if link.tx else None
    return device.model.step_hz if device and device.model else None


def count(ranges: Iterable[Range], spacing_hz: int) -> int:
    """Return how many carriers at least `spacing_hz` apart fit into ranges, both ends of each included."""
    fits, least = 0, None
    for span in sorted(ranges):
        first = span.low_hz if least is None else max(span.low_hz, least)
        if first > span.high_hz:
            continue
        more = (span.high_hz - first) // spacing_hz
        fits += more + 1
        least = first + (more + 1) * spacing_hz
    return fits


def plain_search(found: Room, enough: int) -> int:
    """Return how many carriers clear of third order a search from the bottom up places, at most `enough`.

    Each carrier is put as low as those below it let it. That is no limit: another choice may hold more.
    """
    placed: list[int] = []
    differences: list[tuple[int, int, int]] = []
    for span in found.ranges:
        at = span.low_hz
        while at <= span.high_hz and len(placed) < enough:
            near = bool(placed) and at - placed[-1] < found.spacing_hz
            if not near and _clear_of(placed, differences, at, found.guards_hz):
                for low in placed:
                    insort(differences, (at - low, low, at))
                placed.append(at)
            at += found.step_hz
    return len(placed)


def _clear_of(placed: list[int], differences: list[tuple[int, int, int]], at: int, guards_hz: tuple[int, int]) -> bool:
    """Say whether a carrier above all placed ones keeps 2A = B + C and A + B = C + D as far from equal as the guards say.

    With D the new one they are D - A = A - B and D - B = A - C: its distance from one carrier is that of two others.
    """
    widest = max(guards_hz)
    for one in placed:
        gap = at - one
        for index in range(bisect_left(differences, (gap - widest + 1,)), len(differences)):
            difference, low, high = differences[index]
            if difference - gap >= widest:
                break
            if one != low and abs(difference - gap) < guards_hz[0 if one == high else 1]:
                return False
    return True


def merged(ranges: Iterable[Range]) -> list[Range]:
    """Return ranges in order, those that touch or overlap joined."""
    joined: list[Range] = []
    for span in sorted(ranges):
        if joined and span.low_hz <= joined[-1].high_hz:
            joined[-1] = Range(joined[-1].low_hz, max(joined[-1].high_hz, span.high_hz))
        else:
            joined.append(span)
    return joined


def without(ranges: Iterable[Range], taken: Iterable[Range]) -> list[Range]:
    """Return what is left of ranges when others are taken out of them; edges stay on both sides."""
    left = list(ranges)
    for cut in taken:
        pieces = (
            piece
            for span in left
            for piece in (
                Range(span.low_hz, min(span.high_hz, cut.low_hz)),
                Range(max(span.low_hz, cut.high_hz), span.high_hz),
            )
        )
        left = sorted({piece for piece in pieces if piece.low_hz < piece.high_hz})
    return left
