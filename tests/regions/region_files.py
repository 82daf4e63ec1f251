"""What the tests of region data read: the shipped files, and published tables."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path
from typing import Any

import yaml

import planlint

FOLDER = Path(planlint.__file__).parent / "regions"
FILES = sorted(FOLDER.glob("*.yaml"))
DATA = Path(__file__).parent / "data"

Region = dict[str, Any]


def text_of(path: Path) -> Region:
    """Read a region with every scalar left as the text that stands in the file."""
    region: Region = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    return region


def to_hz(mhz: str) -> int:
    """Turn decimal text in MHz into Hz, exactly."""
    hz = Decimal(mhz) * 1_000_000
    assert hz == int(hz), mhz
    return int(hz)


def edges_hz(row: Region) -> tuple[int, int]:
    """Lower and upper edge of a band row or a closed row, in Hz."""
    return to_hz(row["low_mhz"]), to_hz(row["high_mhz"])


def table(name: str) -> list[dict[str, str]]:
    """Read a published table: CSV with its source in comment lines above the header."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))
