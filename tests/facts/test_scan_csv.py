"""Scan files read: what is taken, what is refused and where; against plain reading with Python's own `csv`."""

from __future__ import annotations

import csv
import io
import random
from decimal import Decimal
from pathlib import Path
from typing import BinaryIO

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from planlint.facts import scan_csv, scan_file
from planlint.facts.scan_csv import HEADER, MAX_FLAWS, Flaw, Reading, read
from planlint.facts.scan_file import ScanFiles

rows = st.lists(
    st.tuples(st.integers(20_000_000, 8_000_000_000), st.integers(-1800, 0)), min_size=1, max_size=40, unique_by=lambda row: row[0]
)  # fmt: skip


def text_of(rows: list[tuple[int, int]], end: str = "\n") -> bytes:
    lines = [HEADER, *(f"{Decimal(hz) / 1_000_000:f},{Decimal(tenths) / 10:f}" for hz, tenths in rows)]
    return (end.join(lines) + end).encode()


def said(raw: bytes) -> Reading:
    return read(io.BytesIO(raw))


def only(raw: bytes) -> Flaw:
    reading = said(raw)
    assert reading.points is None
    (flaw,) = reading.flaws
    return flaw


@given(rows, st.sampled_from(["\n", "\r\n"]), st.sampled_from([b"", b"\xef\xbb\xbf"]))
def test_frequencies_are_exact_hertz_and_levels_are_those_of_the_csv_module(
    rows: list[tuple[int, int]], end: str, mark: bytes
) -> None:
    rows.sort()
    raw = text_of(rows, end)
    reading = said(mark + raw)
    assert reading.points is not None
    plain = list(csv.reader(io.StringIO(raw.decode())))[1:]
    assert list(reading.points.hz) == [hz for hz, _ in rows] == [int(Decimal(mhz) * 1_000_000) for mhz, _ in plain]
    assert list(reading.points.dbm) == [float(level) for _, level in plain]


@given(rows)
def test_the_block_wise_way_and_the_line_wise_way_agree(rows: list[tuple[int, int]]) -> None:
    rows.sort()
    raw = text_of(rows)
    clean, blank = said(raw), said(raw.replace(b"\n", b"\n\n", 1) + b"\n")  # a blank line sends a block line by line
    assert clean.points is not None
    assert blank.points is not None
    assert (clean.points.hz, clean.points.dbm) == (blank.points.hz, blank.points.dbm)


@given(st.binary(max_size=300))
@example(b"freq_mhz,level_dbm\n470,-\xb2\n")
@example(b"freq_mhz,level_dbm\n470,-100\r471,-100\n")
def test_nothing_raises_and_nothing_is_taken_beside_a_flaw(raw: bytes) -> None:
    for text in (raw, HEADER.encode() + b"\n" + raw):
        reading = said(text)
        assert (reading.points is None) == bool(reading.flaws)
        for flaw in reading.flaws:
            lines = text.split(b"\n")
            assert 0 <= flaw.line <= len(lines)
            assert 1 <= flaw.column < flaw.end_column


@given(rows, st.sampled_from([1, 40, 1 << 20]), st.data())
def test_two_rows_swapped_are_told_at_the_lower_one(
    rows: list[tuple[int, int]], block: int, data: st.DataObject
) -> None:
    rows.sort()
    if len(rows) < 2:
        return
    at = data.draw(st.integers(0, len(rows) - 2))
    rows[at], rows[at + 1] = rows[at + 1], rows[at]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(scan_csv, "_BLOCK", block)
        flaw = only(text_of(rows))
    assert (flaw.kind, flaw.line) == ("unsorted", at + 3)


def test_a_flaw_far_down_has_its_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scan_csv, "_BLOCK", 4096)
    lines = [HEADER, *(f"{470 + index / 1000:.3f},-100.{index % 10}" for index in range(20_000))]
    lines[15_000] = "484.999;-100"
    flaw = only("\n".join(lines).encode())
    assert (flaw.kind, flaw.line, flaw.column) == ("separator", 15_001, 8)


@pytest.mark.parametrize("block", [1, 7, 64, 1 << 20])
def test_blocks_of_any_size_give_the_same(block: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scan_csv, "_BLOCK", block)
    reading = said(b"freq_mhz,level_dbm\r\n470.0,-100\r\n470.1,-101.5\r\n470.2,-99")
    assert reading.points is not None
    assert list(reading.points.hz) == [470_000_000, 470_100_000, 470_200_000]
    assert list(reading.points.dbm) == [-100.0, -101.5, -99.0]


def test_columns_count_code_points_and_the_byte_is_named() -> None:
    flaw = only(b"freq_mhz,level_dbm\n470.0,-100\n" + "µ".encode() + b"\xff\n")
    assert (flaw.kind, flaw.line, flaw.column, flaw.text) == ("encoding", 3, 2, "0xff")


def test_utf_16_is_told_as_encoding() -> None:
    flaws = said("freq_mhz,level_dbm\n470.0,-100\n".encode("utf-16")).flaws
    assert flaws[0].kind == "encoding"
    assert flaws[0].line == 1


def test_reading_stops_where_every_line_is_wrong() -> None:
    body = "".join(f"{470 + index},{index % 10};-100\n" for index in range(5000))
    reading = said(f"{HEADER}\n{body}".encode())
    assert not reading.whole
    assert reading.flaws[0].more == MAX_FLAWS - 1


@pytest.mark.parametrize("raw", [b"x" * 5000, HEADER.encode() + b"\n" + b"1" * 2_000_000])
def test_one_endless_line_is_refused_without_being_kept(raw: bytes) -> None:
    flaws = said(raw).flaws
    assert [flaw.kind for flaw in flaws] == ["long-line"]


def test_a_file_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "stage.csv").write_bytes(text_of([(470_000_000, -1000)]))
    monkeypatch.setattr(scan_file, "MAX_BYTES", 10)
    found = ScanFiles(tmp_path)("plan.yaml", "stage.csv")
    assert found.lost is not None
    assert "bytes" in found.lost
    assert found.reading.points is None


@pytest.mark.parametrize("name", ["../outside.csv", "/outside.csv", "a\\b.csv", "link.csv"])
def test_nothing_outside_the_root_is_opened(name: str, tmp_path: Path) -> None:
    root = tmp_path / "root"
    root.mkdir()
    (tmp_path / "outside.csv").write_bytes(text_of([(470_000_000, -1000)]))
    (root / "link.csv").symlink_to(tmp_path / "outside.csv")
    found = ScanFiles(root.resolve())("plan.yaml", name)
    assert found.lost
    assert found.reading.points is None
    assert found.digest == ""


def test_a_file_is_read_once_and_memory_is_bounded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []

    def counted(stream: BinaryIO) -> Reading:
        opened.append(Path(stream.name).name)
        return read(stream)

    monkeypatch.setattr(scan_file, "read", counted)
    monkeypatch.setattr(scan_file, "MAX_POINTS", 25)
    steps = random.Random(1)
    for name in "abc":
        rows = sorted({(470_000_000 + steps.randrange(10**6), -1000) for _ in range(10)})
        (tmp_path / f"{name}.csv").write_bytes(text_of(rows))
    files = ScanFiles(tmp_path.resolve())
    for name in ("a", "a", "b", "a", "c", "a", "b"):
        assert files("plan.yaml", f"{name}.csv").reading.points is not None
    assert opened == ["a.csv", "b.csv", "c.csv", "b.csv"]  # b made room for c


def test_the_digest_is_sha_256(tmp_path: Path) -> None:
    """FIPS 180-2, appendix B.1: the digest of "abc" (from memory, not verified)."""
    (tmp_path / "abc.csv").write_bytes(b"abc")
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert ScanFiles(tmp_path.resolve())("plan.yaml", "abc.csv").digest == expected
