"""The shipped region files: what each row must say of its source, and what published tables say of it.

`read` is a claim about a person's work: it stands only beside the words that were read. The tests here refuse
it otherwise, and `test_a_bare_claim_is_refused` shows that they can.
"""

from __future__ import annotations

import json
import re
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest
import yaml

from planlint.rf.tv import channel_edges_hz, channels
from tests.regions.region_files import FILES, FOLDER, Region, edges_hz, table, text_of, to_hz

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

WORDS = {"read", "second-hand", "memory"}
LONGEST_QUOTE = 25  # words; the project's own rule: enough to recognise a passage, not a copy of it
SCHEMA = FOLDER.parent.parent / "schemas" / "region.schema.json"

REGIONS = {path.stem: text_of(path) for path in FILES}
ROWS = [(region, "rows", name) for region, file in REGIONS.items() for name in file["rows"]]
CLOSED = [(region, "closed", name) for region, file in REGIONS.items() for name in file.get("closed", {})]
SHARED = [(region, "land_mobile", name) for region, file in REGIONS.items() for name in file.get("land_mobile", {})]


def entry(where: tuple[str, str, str]) -> Region:
    region, section, name = where
    found: Region = REGIONS[region][section][name]
    return found


def facts(row: Region) -> Iterator[tuple[str, str, Region]]:
    """Each fact of a row with its status and with the source that carries it."""
    for fact, status in row["status"].items():
        yield fact, status, row[f"{fact}_source"] if f"{fact}_source" in row else row["source"]


def in_the_quote(row: Region, quote: str) -> bool:
    """Whether both edges of a row stand in a quote, with or without a space at the thousands."""
    numbers = {to_hz(number) for number in re.findall(r"\d+(?:\.\d+)?", re.sub(r"(?<=\d) (?=\d{3}\b)", "", quote))}
    return set(edges_hz(row)) <= numbers


def complaints(row: Region, expected_facts: set[str]) -> list[str]:
    """What is wrong with the sources of one row."""
    wrong = []
    if set(row["status"]) != expected_facts:
        wrong.append(f"status names {sorted(row['status'])}")
    for fact, status, source in facts(row):
        if status not in WORDS:
            wrong.append(f"{fact}: unknown status {status}")
        wrong += [f"{fact}: no {key}" for key in ("document", "clause", "edition") if not source.get(key)]
        if status == "read":
            wrong += [f"{fact}: read without {key}" for key in ("quote", "read_on", "address") if not source.get(key)]
            if fact == "band" and "low_mhz" in row and not in_the_quote(row, source.get("quote", "")):
                wrong.append("band: the quote does not hold the edges")
        if status == "memory" and not (source is row["source"] or source["edition"] == "not read, from memory"):
            wrong.append(f"{fact}: memory with an edition")
        if len(source.get("quote", "").split()) > LONGEST_QUOTE:
            wrong.append(f"{fact}: quote too long")
    return wrong


@pytest.mark.parametrize("where", ROWS, ids="/".join)
def test_row_tells_its_sources(where: tuple[str, str, str]) -> None:
    assert complaints(entry(where), {"band", "power", "width"}) == []


@pytest.mark.parametrize("where", CLOSED + SHARED, ids="/".join)
def test_closed_and_shared_spectrum_tells_its_sources(where: tuple[str, str, str]) -> None:
    assert complaints(entry(where), {"band"}) == []


GOOD = {
    "low_mhz": "608.000",
    "high_mhz": "614.000",
    "source": {
        "document": "47 CFR 73.603",
        "clause": "(c)",
        "edition": "eCFR as of 2026-06-20",
        "address": "https://example.org",
        "read_on": "2026-11-25",
        "quote": "Channel 37, 608-614 MHz is reserved exclusively for the radio astronomy service.",
    },
    "status": {"band": "read"},
}


@pytest.mark.parametrize("missing", ["document", "clause", "edition", "address", "read_on", "quote"])
def test_a_bare_claim_is_refused(missing: str) -> None:
    assert complaints(GOOD, {"band"}) == []
    source = {key: value for key, value in GOOD["source"].items() if key != missing}  # type: ignore[attr-defined]
    assert any(missing in wrong for wrong in complaints({**GOOD, "source": source}, {"band"}))


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"status": {"band": "read", "power": "memory"}}, "status names ['band', 'power']"),
        ({"status": {"band": "certain"}}, "band: unknown status certain"),
        ({"high_mhz": "616.000"}, "band: the quote does not hold the edges"),
        ({"source": {**GOOD["source"], "quote": "608-614 " + "word " * 25}}, "band: quote too long"),  # type: ignore[dict-item]
    ],
)
def test_a_false_claim_is_refused(change: Region, complaint: str) -> None:
    assert complaint in complaints({**GOOD, **change}, {"band"})


@pytest.mark.parametrize("region", REGIONS)
def test_something_was_read(region: str) -> None:
    # keeps the checks of "read" from passing because nothing claims it; gb honestly has nothing read
    read = [row for row in walk(REGIONS[region]) if "read" in row["status"].values()]
    assert bool(read) is (region != "gb")


def walk(file: Region) -> Iterator[Region]:
    for section in ("rows", "closed", "land_mobile"):
        yield from file.get(section, {}).values()


@pytest.mark.parametrize("where", ROWS, ids="/".join)
def test_no_band_is_from_memory(where: tuple[str, str, str]) -> None:
    # a carrier outside every row is judged by the weakest band of the region: one band from memory would turn
    # the error for every such carrier into a warning
    assert entry(where)["status"]["band"] != "memory"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_file_is_what_its_name_says(path: Path) -> None:
    file = text_of(path)
    assert (file["plan_format"], file["kind"], file["region"]) == ("1", "region", path.stem)
    read_on = {source["read_on"] for row in walk(file) for _, _, source in facts(row) if "read_on" in source}
    assert max(date.fromisoformat(day) for day in read_on) <= date.fromisoformat(file["checked"])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_file_reads_the_same_with_every_yaml_library(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "\t" not in text
    events = list(yaml.parse(text, Loader=yaml.SafeLoader))
    assert not any(isinstance(event, yaml.AliasEvent) for event in events)
    assert not any(getattr(event, "anchor", None) or getattr(event, "tag", None) for event in events)
    resolver = yaml.resolver.Resolver()
    for event in events:
        if isinstance(event, yaml.ScalarEvent) and event.implicit[0]:
            tag = resolver.resolve(yaml.ScalarNode, event.value, (True, False))  # type: ignore[no-untyped-call]
            number = re.fullmatch(r"(0|[1-9]\d*)(\.\d+)?", event.value)
            assert tag == "tag:yaml.org,2002:str" or number, event.value


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_file_fits_the_schema(path: Path) -> None:
    if not SCHEMA.exists():
        pytest.skip("schemas/region.schema.json is not there")
    from jsonschema import Draft202012Validator

    schema: Any = json.loads(SCHEMA.read_text(encoding="utf-8"))
    values = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert [error.message for error in Draft202012Validator(schema).iter_errors(values)] == []


@pytest.mark.parametrize("where", ROWS, ids="/".join)
def test_row_is_consistent(where: tuple[str, str, str]) -> None:
    row, classes = entry(where), REGIONS[where[0]].get("classes", {})
    low_hz, high_hz = edges_hz(row)
    assert low_hz < high_hz
    assert row["class"] == "unlicensed" or row["class"] in classes
    assert row["power_basis"] in {"conducted", "erp", "eirp"}
    assert 0 < float(row.get("power_handheld_mw") or row["power_mw"]) <= float(row["power_mw"])
    assert to_hz(row.get("max_emission_khz", "1")) <= (high_hz - low_hz) * 1000


@pytest.mark.parametrize("region", REGIONS)
def test_closed_spectrum_is_outside_every_row(region: str) -> None:
    file = REGIONS[region]
    for closed in file.get("closed", {}).values():
        low_hz, high_hz = edges_hz(closed)
        assert low_hz < high_hz
        assert all(edges_hz(row)[1] <= low_hz or high_hz <= edges_hz(row)[0] for row in file["rows"].values())


def test_every_class_is_used() -> None:
    for file in REGIONS.values():
        assert {row["class"] for row in file["rows"].values()} - {"unlicensed"} == set(file["classes"])


@pytest.mark.parametrize("region", REGIONS)
def test_tv_channels_of_the_region_are_in_its_raster(region: str) -> None:
    tv = REGIONS[region]["tv"]
    assert {int(tv["first_channel"]), int(tv["last_channel"])} <= set(channels(tv["raster"]))


@pytest.mark.parametrize(
    ("row", "first", "last"),
    [
        ("tv-2-4-unlicensed", 2, 4),
        ("tv-5-6-unlicensed", 5, 6),
        ("tv-7-13-unlicensed", 7, 13),
        ("tv-uhf-unlicensed", 14, 36),
        ("tv-uhf-licensed", 14, 36),
    ],
)
def test_us_tv_rows_are_runs_of_tv_channels(row: str, first: int, last: int) -> None:
    # source: 47 CFR 73.603(a), edition of 2021; 14 to 36 is 23 x 6 MHz = 138 MHz
    published = {int(line["channel"]): line for line in table("us-tv-channels.csv")}
    run = [published[channel] for channel in range(first, last + 1)]
    assert all(below["high_mhz"] == above["low_mhz"] for below, above in pairwise(run))
    edges = to_hz(run[0]["low_mhz"]), to_hz(run[-1]["high_mhz"])
    assert edges_hz(REGIONS["us"]["rows"][row]) == edges


def test_us_channel_37_is_closed() -> None:
    # source: 47 CFR 73.603(c)
    assert edges_hz(REGIONS["us"]["closed"]["radio-astronomy"]) == channel_edges_hz("us-6mhz", 37)


def test_us_600_mhz_band_is_told_without_gap_or_overlap() -> None:
    # source: 47 CFR 15.236(a)(2) to (4), edition of 2021: guard band 614-617 MHz, service band 617-652 and
    # 663-698 MHz, "11 megahertz guard band at 652-663 MHz"; 698-806 MHz: the regulator's page on that band
    us = REGIONS["us"]
    told = sorted(
        edges
        for section in ("rows", "closed")
        for edges in (edges_hz(row) for row in us[section].values())
        if 608_000_000 <= edges[0] < 806_000_000
    )
    assert told[0][0] == 608_000_000
    assert told[-1][1] == 806_000_000
    assert all(below[1] == above[0] for below, above in pairwise(told))
    borders = {edge for edges in told for edge in edges}
    assert {614_000_000, 617_000_000, 652_000_000, 663_000_000, 698_000_000} <= borders


def test_us_land_mobile_towns() -> None:
    # source: 47 CFR 90.303(b), see the CSV
    published: dict[str, set[int]] = {}
    for line in table("us-land-mobile.csv"):
        assert channel_edges_hz("us-6mhz", int(line["channel"])) == (
            to_hz(line["low_mhz"]),
            to_hz(line["high_mhz"]),
        )
        for town in line["area"].split("/"):
            if line["available"] == "yes":
                published.setdefault(town, set()).add(int(line["channel"]))
    shipped = {
        share["town"]: {int(channel) for channel in share["tv_channels"]}
        for share in REGIONS["us"]["land_mobile"].values()
    }
    # source: 47 CFR 73.603(d), eCFR of June 2026, Hawaii: 488-494 MHz, channel 17
    assert shipped.pop("Honolulu") == {17}
    assert channel_edges_hz("us-6mhz", 17) == (488_000_000, 494_000_000)
    assert shipped == published


def test_gb_channel_38_lies_between_its_neighbours() -> None:
    # source: Ofcom, 2013: "Channel 38 (606-614 MHz)"; half a megahertz free at each end
    rows = REGIONS["gb"]["rows"]
    low_hz, high_hz = channel_edges_hz("eu-8mhz", 38)
    assert edges_hz(rows["channel-38"]) == (low_hz + 500_000, high_hz - 500_000)
    assert edges_hz(rows["tv-uhf-below-38"]) == (channel_edges_hz("eu-8mhz", 21)[0], low_hz)
    assert edges_hz(rows["tv-uhf-above-38"]) == (high_hz, channel_edges_hz("eu-8mhz", 48)[1])


def test_eu_bands_stay_inside_the_tuning_ranges_of_cept() -> None:
    # source: ranges A2, A3, A5, A6, A9 of ERC/REC 25-10, from CEPT's table of national conditions (undated)
    ranges = [("174", "216"), ("470", "694"), ("821.5", "832"), ("863", "865"), ("1785", "1805")]
    cept = [(to_hz(low), to_hz(high)) for low, high in ranges]
    rows = [edges_hz(row) for row in REGIONS["eu"]["rows"].values()]
    assert len(rows) == len(cept)
    assert all(outer[0] <= row[0] and row[1] <= outer[1] for row, outer in zip(sorted(rows), cept, strict=True))
