"""A scan's text to points: CSV with the header `freq_mhz,level_dbm`, decimal points, rising frequencies.

A clean block of lines goes through a few calls that work on the whole block; only a block that is not clean is
read line by line, to say where and what. So a million rows take about a second, in blocks of bounded size.
"""

from __future__ import annotations

import re
from array import array
from itertools import islice
from operator import lt
from typing import TYPE_CHECKING, Literal, NamedTuple

from planlint.facts.scan_points import Points

if TYPE_CHECKING:
    from typing import BinaryIO

HEADER = "freq_mhz,level_dbm"
#: The range of frequencies a plan can hold, in MHz.
LOW_MHZ, HIGH_MHZ = 20.0, 8000.0
#: Levels in dBm outside this are another unit: below it lies less than the thermal noise of 1 Hz.
LOW_DBM, HIGH_DBM = -180.0, 0.0
MAX_LINE = 1000
#: Reading stops after so many lines with a fault: a file of another kind has one in every line.
MAX_FLAWS = 100

_BLOCK = 1 << 20
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_NUMERALS = b"0123456789+-.eE \t\r"
_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")

FlawKind = Literal[
    "encoding", "header", "no-header", "comma", "separator", "fields", "number", "frequency", "level", "unsorted",
    "repeated", "long-line", "empty",
]  # fmt: skip


class Flaw(NamedTuple):
    """What is wrong at one place of a scan's text.

    Attributes:
        kind: what is wrong.
        line: the line, from 1; 0 where it is the file as a whole.
        column: the first column in code points, from 1.
        end_column: the column after the last.
        text: what stands there.
        more: how many further lines have the same fault, as far as the file was read.
    """

    kind: FlawKind
    line: int
    column: int
    end_column: int
    text: str
    more: int = 0


class Reading(NamedTuple):
    """What came of a scan's text: its points, or None and its flaws, the first of each kind in order of line.

    `whole` is False where reading stopped before the end, because too much was wrong.
    """

    points: Points | None
    flaws: tuple[Flaw, ...]
    whole: bool = True


class _Row(NamedTuple):
    hz: int
    dbm: float


def read(stream: BinaryIO) -> Reading:
    """Read a scan from an open binary file."""
    return _Reader().read(stream)


class _Reader:
    def __init__(self) -> None:
        self.hz: array[int] = array("q")
        self.dbm: array[float] = array("d")
        self.last_hz = -1
        self.line = 1
        self.flaws: dict[FlawKind, Flaw] = {}
        self.flawed_lines = 0

    def read(self, stream: BinaryIO) -> Reading:
        rest = self._header(stream)
        while self.flawed_lines < MAX_FLAWS:
            block = stream.read(_BLOCK)
            text = rest + block
            end = text.rfind(b"\n") + 1 if block else len(text)
            rest = text[end:]
            if len(rest) > MAX_LINE:
                self._flaw(Flaw("long-line", 0, 1, 2, ""))
                break
            if end:
                self._block(text[:end] if text[end - 1 : end] == b"\n" else text[:end] + b"\n")
            if not block:
                return self._end(whole=True)
        return self._end(whole=False)

    def _end(self, *, whole: bool) -> Reading:
        if not self.hz and not self.flaws:
            self._flaw(Flaw("empty", 0, 1, 2, ""))
        if self.flaws:
            return Reading(None, tuple(sorted(self.flaws.values(), key=lambda flaw: flaw.line)), whole)
        return Reading(Points(self.hz, self.dbm), ())

    def _header(self, stream: BinaryIO) -> bytes:
        """Judge the first line; return it where it is a row already."""
        raw = stream.readline(MAX_LINE + 1).removeprefix(_BYTE_ORDER_MARK)
        if len(raw) > MAX_LINE and not raw.endswith(b"\n"):
            self._flaw(Flaw("long-line", 0, 1, 2, ""))
            self.flawed_lines = MAX_FLAWS
            return b""
        if not raw:
            return b""
        text = _decoded(raw)
        if isinstance(text, Flaw):
            self._flaw(text._replace(line=1))
        elif ",".join(field.strip() for field in text.split(",")) != HEADER:
            bare = text.strip()
            kind: FlawKind = "no-header" if _NUMBER.match(bare) else "header"
            self._flaw(Flaw(kind, 1, 1, max(len(text.rstrip()), 1) + 1, bare))
            if kind == "no-header":
                return raw
        self.line = 2
        return b""

    def _block(self, block: bytes) -> None:
        """Take whole lines, the last one ended."""
        count = block.count(b"\n")
        rows = self._clean(block, count)
        if rows is not None:
            if not self.flaws:
                self.hz.extend(rows[0])
                self.dbm.extend(rows[1])
            self.last_hz = rows[0][-1]
            self.line += count
            return
        for raw in block.split(b"\n")[:-1]:
            if self.flawed_lines >= MAX_FLAWS:
                return
            self._line(raw)
            self.line += 1

    def _clean(self, block: bytes, count: int) -> tuple[list[int], list[float]] | None:
        """Return a block's frequencies and levels, or None where any line of it is not two numbers that fit."""
        if block.translate(None, _NUMERALS) != b",\n" * count:
            return None
        values = block.replace(b"\n", b",").split(b",")
        try:
            mhz = list(map(float, values[:-1:2]))
            dbm = list(map(float, values[1::2]))
        except ValueError:
            return None
        if min(mhz) < LOW_MHZ or max(mhz) > HIGH_MHZ or min(dbm) < LOW_DBM or max(dbm) > HIGH_DBM:
            return None
        hz = [round(value * 1e6) for value in mhz]  # exact to six decimals: a float holds fifteen digits
        rising = hz[0] > self.last_hz and all(map(lt, hz, islice(hz, 1, None)))
        return (hz, dbm) if rising else None

    def _line(self, raw: bytes) -> None:
        text = _decoded(raw)
        if isinstance(text, Flaw):
            self._flaw(text)
            return
        if not text.strip():
            return
        row = _row(text)
        if isinstance(row, Flaw):
            self._flaw(row)
            return
        if row.hz <= self.last_hz:
            kind: FlawKind = "repeated" if row.hz == self.last_hz else "unsorted"
            self._flaw(_field(kind, text, 0))
            return
        self.last_hz = row.hz
        if not self.flaws:
            self.hz.append(row.hz)
            self.dbm.append(row.dbm)

    def _flaw(self, flaw: Flaw) -> None:
        self.flawed_lines += 1
        known = self.flaws.get(flaw.kind)
        if known is not None:
            self.flaws[flaw.kind] = known._replace(more=known.more + 1)
            return
        whole = flaw.kind in {"long-line", "empty"}
        self.flaws[flaw.kind] = flaw if whole or flaw.line else flaw._replace(line=self.line)


def _decoded(raw: bytes) -> str | Flaw:
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        column = len(raw[: error.start].decode("utf-8")) + 1
        return Flaw("encoding", 0, column, column + 1, f"0x{raw[error.start]:02x}")
    if "\0" in text:
        column = text.index("\0") + 1
        return Flaw("encoding", 0, column, column + 1, "0x00")
    return text.removesuffix("\n").removesuffix("\r")


def _row(text: str) -> _Row | Flaw:
    fields = text.split(",")
    bare = text.strip()
    if len(fields) != 2 or ";" in bare or "\t" in bare:
        return _not_two(text, bare, [field.strip() for field in fields])
    for index, field in enumerate(fields):
        if not _NUMBER.fullmatch(field.strip()):
            return _field("number", text, index)
    mhz, dbm = map(float, fields)
    if not LOW_MHZ <= mhz <= HIGH_MHZ:
        return _field("frequency", text, 0)
    if not LOW_DBM <= dbm <= HIGH_DBM:
        return _field("level", text, 1)
    return _Row(round(mhz * 1e6), dbm)


def _not_two(text: str, bare: str, fields: list[str]) -> Flaw:
    """Say what a line is that is not two fields with one comma between."""
    for mark in ";\t":
        if mark in bare:
            commas = [part.strip() for part in bare.split(mark) if _COMMA.fullmatch(part.strip())]
            return _span("comma", text, commas[0]) if commas else _span("separator", text, mark)
    if len(fields) in {3, 4}:
        for first, second in ((fields[0], fields[1]), (fields[-2], fields[-1])):
            if _COMMA.fullmatch(f"{first},{second}"):
                return _span("comma", text, f"{first},{second}")
    return _span("fields", text, bare)


def _span(kind: FlawKind, text: str, part: str) -> Flaw:
    column = text.find(part) + 1
    return Flaw(kind, 0, column, column + len(part), part)


def _field(kind: FlawKind, text: str, index: int) -> Flaw:
    fields = text.split(",")
    start = sum(len(field) + 1 for field in fields[:index])
    bare = fields[index].strip()
    column = start + fields[index].find(bare) + 1
    return Flaw(kind, 0, column, column + max(len(bare), 1), bare)
