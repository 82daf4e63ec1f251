"""TV channel rasters against published channel tables."""

from __future__ import annotations

from itertools import pairwise

import pytest

from planlint.rf.tv import RASTERS, channel_edges_hz, channels
from tests.regions.region_files import table, to_hz

US_ROWS = table("us-tv-channels.csv")


@pytest.mark.parametrize("row", US_ROWS, ids=[row["channel"] for row in US_ROWS])
def test_us_channel_of_the_rule_book(row: dict[str, str]) -> None:
    # source: 47 CFR 73.603(a), see the CSV
    assert channel_edges_hz("us-6mhz", int(row["channel"])) == (to_hz(row["low_mhz"]), to_hz(row["high_mhz"]))


def test_us_table_is_whole_but_for_its_last_line() -> None:
    # 51 stands in 73.603(a); its limits were cut off in the copy read: 692-698 MHz from memory, not verified
    assert set(channels("us-6mhz")) - {int(row["channel"]) for row in US_ROWS} == {51}
    assert channel_edges_hz("us-6mhz", 51) == (692_000_000, 698_000_000)


@pytest.mark.parametrize("channel", range(14, 51))
def test_us_uhf_formula(channel: int) -> None:
    # lower edge = 470 + 6 (n - 14) MHz, closed form of the UHF part of 73.603(a)
    row = next(row for row in US_ROWS if row["channel"] == str(channel))
    assert to_hz(row["low_mhz"]) == (470 + 6 * (channel - 14)) * 1_000_000
    assert channel_edges_hz("us-6mhz", channel)[0] == to_hz(row["low_mhz"])


@pytest.mark.parametrize("row", table("uk-tv-channels.csv"), ids=lambda row: row["channel"])
def test_uk_channel_named_by_the_regulator(row: dict[str, str]) -> None:
    # source: Ofcom, 2013, see the CSV
    assert channel_edges_hz("eu-8mhz", int(row["channel"])) == (to_hz(row["low_mhz"]), to_hz(row["high_mhz"]))


@pytest.mark.parametrize("channel", range(21, 49))
def test_eu_formula(channel: int) -> None:
    # lower edge = 470 + 8 (n - 21) MHz, from memory, not verified; 38 and 69 are checked against Ofcom above
    low_hz = (470 + 8 * (channel - 21)) * 1_000_000
    assert channel_edges_hz("eu-8mhz", channel) == (low_hz, low_hz + 8_000_000)


def test_eu_channels_21_to_48_fill_470_to_694() -> None:
    # 470-694 MHz: Decision (EU) 2017/899 as restated by a national regulator (region file eu.yaml)
    assert channel_edges_hz("eu-8mhz", 21)[0] == 470_000_000
    assert channel_edges_hz("eu-8mhz", 48)[1] == 694_000_000


@pytest.mark.parametrize("row", table("au-tv-channels.csv"), ids=lambda row: f"from-{row['first_channel']}")
def test_au_outer_limits(row: dict[str, str]) -> None:
    # source: see the CSV
    assert channel_edges_hz("au-7mhz", int(row["first_channel"]))[0] == to_hz(row["low_mhz"])
    assert channel_edges_hz("au-7mhz", int(row["last_channel"]))[1] == to_hz(row["high_mhz"])


def test_au_vhf_leaves_room_for_one_channel_without_a_number() -> None:
    # 174-230 MHz is eight times 7 MHz for the seven numbers 6 to 12; that 9A lies above 9 is from memory
    assert channel_edges_hz("au-7mhz", 10)[0] - channel_edges_hz("au-7mhz", 9)[1] == 7_000_000


@pytest.mark.parametrize(
    ("raster", "width_hz"), [("us-6mhz", 6_000_000), ("eu-8mhz", 8_000_000), ("au-7mhz", 7_000_000)]
)
def test_channels_have_the_width_in_the_raster_name_and_never_overlap(raster: str, width_hz: int) -> None:
    edges = [channel_edges_hz(raster, channel) for channel in channels(raster)]
    assert {high - low for low, high in edges} == {width_hz}
    assert all(below[1] <= above[0] for below, above in pairwise(edges))


@pytest.mark.parametrize(
    ("raster", "channel"),
    [
        ("us-6mhz", 1),
        ("us-6mhz", 52),
        ("eu-8mhz", 20),
        ("eu-8mhz", 70),
        ("au-7mhz", 13),
        ("au-7mhz", 27),
        ("au-7mhz", -6),
    ],
)
def test_channel_outside_the_raster_is_refused(raster: str, channel: int) -> None:
    assert channel not in channels(raster)
    with pytest.raises(ValueError, match=f"{raster} raster has no channel {channel}"):
        channel_edges_hz(raster, channel)


def test_unknown_raster_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=f"unknown TV raster 'uk-8mhz'; known are {', '.join(RASTERS)}"):
        channels("uk-8mhz")
    with pytest.raises(ValueError, match="unknown TV raster"):
        channel_edges_hz("uk-8mhz", 38)
