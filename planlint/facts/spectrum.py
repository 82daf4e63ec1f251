"""What a region and a town allow: permissions, closed bands, live TV channels. All in integer Hz."""

from __future__ import annotations

from typing import NamedTuple

from planlint.plan.model import Closed, Plan, Region, Row
from planlint.rf.tv import channel_edges_hz

STATUSES = ("memory", "second-hand", "read")


class Band(NamedTuple):
    """Touching rows of equal permission, merged: [low, high] in Hz and the weakest status of their bands."""

    low_hz: int
    high_hz: int
    status: str
    rows: tuple[Row, ...]


class Channel(NamedTuple):
    """A live TV channel: its number, its edges in Hz and where it is written."""

    number: int
    low_hz: int
    high_hz: int
    at: str


def bands(region: Region) -> tuple[Band, ...]:
    """Return a region's allowed bands in order; touching rows of equal permission are one band."""
    merged: list[Band] = []
    for row in sorted(region.rows, key=lambda row: (_permission(row), row.low_hz)):
        last = merged[-1] if merged else None
        if last and _permission(last.rows[0]) == _permission(row) and row.low_hz <= last.high_hz:
            status = weakest([last.status, row.status.get("band", "memory")])
            merged[-1] = Band(last.low_hz, max(last.high_hz, row.high_hz), status, (*last.rows, row))
        else:
            merged.append(Band(row.low_hz, row.high_hz, row.status.get("band", "memory"), (row,)))
    return tuple(sorted(merged, key=lambda band: (band.low_hz, band.high_hz)))


def _permission(row: Row) -> tuple[str, float, str, int]:
    return row.licence_class, row.power_mw or 0.0, row.power_basis or "", row.max_emission_hz or 0


def weakest(statuses: list[str]) -> str:
    """Return the weakest of some statuses; of none, `memory`."""
    return min(statuses, key=STATUSES.index) if statuses else "memory"


def closed_at(region: Region, low_hz: int, high_hz: int) -> Closed | None:
    """Return the closed band that an emission from `low_hz` to `high_hz` overlaps, or None."""
    for band in region.closed:
        if band.low_hz < high_hz and low_hz < band.high_hz:
            return band
    return None


def raster(plan: Plan) -> tuple[str | None, str]:
    """Return the TV raster in force and where it is written: the show's, else the region's."""
    own = plan.section("spectrum").get("tv_raster")
    if isinstance(own, str):
        return own, "/spectrum/tv_raster"
    return (plan.region.raster if plan.region else None), plan.region_at


def live_channels(plan: Plan) -> tuple[Channel, ...] | None:
    """Return the town's live TV channels in order, or None where list or raster are not known.

    A number that the raster does not have is left out: a rule of its own reports it.
    """
    numbers = plan.section("spectrum").get("tv_occupied")
    name, _ = raster(plan)
    if not isinstance(numbers, list) or name is None:
        return None
    found = []
    for index, channel in enumerate(numbers):
        try:
            low, high = channel_edges_hz(name, channel)
        except ValueError:
            continue
        found.append(Channel(channel, low, high, f"/spectrum/tv_occupied/{index}"))
    return tuple(sorted(found, key=lambda channel: channel.low_hz))
