"""Published values beside the tests: `data/*.csv`, sources in `data/README.md`."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

DATA = Path(__file__).parent / "data"


@pytest.fixture(scope="session")
def published() -> Callable[[str], list[dict[str, str]]]:
    def read(table: str) -> list[dict[str, str]]:
        with (DATA / f"{table}.csv").open(encoding="utf-8", newline="") as lines:
            rows = list(csv.DictReader(lines))
        assert rows, f"{table}.csv holds no values"
        return rows

    return read
