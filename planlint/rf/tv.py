"""TV channel rasters: which slice of spectrum a channel number means.

Model: each raster is a few unbroken runs of channels of one width; within a run the lower edge is
``low + width * (channel - first)``. A channel is the half-open slice from its lower to its upper edge, and
neighbours in a run share an edge.

Sources, and what was read of them:

- ``us-6mhz``: 47 CFR 73.603(a), annual edition of 1 September 2021, read in a public copy as far as channel
  50; channel 51 is from memory, not verified. TV today uses 2 to 36; 37 is reserved (73.603(c)); the higher
  numbers lie in bands given to other services since.
- ``eu-8mhz``: UHF channels 21 to 69 of the 8 MHz plan of ITU Region 1. The formula is from memory; the UK
  regulator's statement on channel 38 (2013) gives 606-614 MHz for 38 and 854-862 MHz for 69, which agree with
  it. TV today uses 21 to 48.
- ``au-7mhz``: the outer limits 174-230 MHz (VHF, channels 6 to 12) and 526-694 MHz (UHF, channels 28 to 51)
  read second-hand. The VHF span holds eight channels of 7 MHz for seven numbers: the eighth is "9A",
  202-209 MHz, which has no number of its own and is not offered here; its place is from memory, not verified.
"""

from __future__ import annotations

from typing import NamedTuple


class _Run(NamedTuple):
    first_channel: int
    last_channel: int
    low_hz: int
    width_hz: int


_RASTERS: dict[str, tuple[_Run, ...]] = {
    "us-6mhz": (
        _Run(2, 4, 54_000_000, 6_000_000),
        _Run(5, 6, 76_000_000, 6_000_000),
        _Run(7, 13, 174_000_000, 6_000_000),
        _Run(14, 51, 470_000_000, 6_000_000),
    ),
    "eu-8mhz": (_Run(21, 69, 470_000_000, 8_000_000),),
    "au-7mhz": (
        _Run(6, 9, 174_000_000, 7_000_000),
        _Run(10, 12, 209_000_000, 7_000_000),
        _Run(28, 51, 526_000_000, 7_000_000),
    ),
}

RASTERS = tuple(_RASTERS)
"""The names of the rasters known here."""


def channel_edges_hz(raster: str, channel: int) -> tuple[int, int]:
    """Give the lower and the upper edge of a TV channel.

    Args:
        raster: One of `RASTERS`.
        channel: Channel number of that raster.

    Returns:
        Lower and upper edge in Hz.

    Raises:
        ValueError: The raster is unknown, or it has no channel of that number.

    Source: see the head of this module.
    """
    for run in _runs(raster):
        if run.first_channel <= channel <= run.last_channel:
            low_hz = run.low_hz + run.width_hz * (channel - run.first_channel)
            return low_hz, low_hz + run.width_hz
    raise ValueError(f"the {raster} raster has no channel {channel}")


def channels(raster: str) -> tuple[int, ...]:
    """List the channel numbers of a raster, in rising order, whether TV still uses them or not.

    Args:
        raster: One of `RASTERS`.

    Raises:
        ValueError: The raster is unknown.

    Source: see the head of this module.
    """
    return tuple(channel for run in _runs(raster) for channel in range(run.first_channel, run.last_channel + 1))


def _runs(raster: str) -> tuple[_Run, ...]:
    if raster not in _RASTERS:
        raise ValueError(f"unknown TV raster {raster!r}; known are {', '.join(RASTERS)}")
    return _RASTERS[raster]
