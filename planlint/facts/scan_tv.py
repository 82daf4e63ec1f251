"""TV channels as a scan shows them: a plateau as wide as a channel, over what lies beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.scan_points import Points, median, share
from planlint.facts.spectrum import raster
from planlint.rf.tv import channel_edges_hz, channels

if TYPE_CHECKING:
    from planlint.plan.model import Plan

#: A channel on the air is so far above the quieter of its neighbours.
OVER_NEIGHBOURS_DB = 8.0
#: Between the tenth and the ninetieth part of its levels lie no more than this.
FLAT_DB = 6.0
#: So many channels beside each other may be on the air unlisted; more are no TV but a floor that is up as a whole.
MOST_TOGETHER = 3
#: What is left out at each edge of a channel: the skirts.
_SKIRT = 0.1
_FEWEST_POINTS = 4


class Plateau(NamedTuple):
    """A channel that seems to be on the air: its number, edges in Hz, level in dBm and how far it is over beside."""

    channel: int
    low_hz: int
    high_hz: int
    dbm: float
    over_db: float


class _Block(NamedTuple):
    low_hz: int
    high_hz: int
    dbm: float
    flat: bool


def plateaus(plan: Plan, points: Points) -> tuple[Plateau, ...]:
    """Return the channels that seem to be on the air, listed or not, in order; none where the raster is unknown.

    A channel is held against the nearest one on either side that is no plateau itself, the quieter of the two.
    """
    blocks = _blocks(plan, points)
    found: dict[int, Plateau] = {}
    while True:
        new = {
            channel: plateau for channel in blocks if channel not in found if (plateau := _one(blocks, channel, found))
        }
        if not new:
            break
        found |= new
    listed = plan.section("spectrum").get("tv_occupied")
    unlisted = found.keys() - set(listed if isinstance(listed, list) else ())
    return tuple(found[channel] for channel in sorted(found) if len(_run(channel, found) & unlisted) <= MOST_TOGETHER)


def _one(blocks: dict[int, _Block], channel: int, found: dict[int, Plateau]) -> Plateau | None:
    block = blocks[channel]
    if not block.flat:
        return None
    beside = [level for way in (-1, 1) if (level := _beside(blocks, channel, way, found)) is not None]
    if not beside or block.dbm - min(beside) <= OVER_NEIGHBOURS_DB:
        return None
    return Plateau(channel, block.low_hz, block.high_hz, block.dbm, block.dbm - min(beside))


def _beside(blocks: dict[int, _Block], channel: int, way: int, found: dict[int, Plateau]) -> float | None:
    here, near = channel, channel + way
    while near in blocks and _touch(blocks[here], blocks[near]):
        if near not in found:
            return blocks[near].dbm
        here, near = near, near + way
    return None


def _touch(first: _Block, second: _Block) -> bool:
    return first.high_hz == second.low_hz or second.high_hz == first.low_hz


def _run(channel: int, found: dict[int, Plateau]) -> set[int]:
    low = high = channel
    while low - 1 in found:
        low -= 1
    while high + 1 in found:
        high += 1
    return set(range(low, high + 1))


def _blocks(plan: Plan, points: Points) -> dict[int, _Block]:
    name, _ = raster(plan)
    if name is None:
        return {}
    blocks = {}
    for channel in channels(name):
        low, high = channel_edges_hz(name, channel)
        skirt = int((high - low) * _SKIRT)
        if not (points.low_hz <= low + skirt and high - skirt <= points.high_hz):
            continue
        levels = sorted(points.levels(low + skirt, high - skirt))
        level = median(levels)
        top, bottom = share(levels, 0.9), share(levels, 0.1)
        if len(levels) >= _FEWEST_POINTS and level is not None and top is not None and bottom is not None:
            blocks[channel] = _Block(low, high, level, top - bottom <= FLAT_DB)
    return blocks
