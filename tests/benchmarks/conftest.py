"""Benchmarks are slow and depend on the machine: they run only when asked for, with --benchmark-only."""

from pathlib import Path

import pytest

HERE = Path(__file__).parent


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if not config.getoption("--benchmark-only", default=False):
        for item in items:
            if HERE in item.path.parents:
                item.add_marker(pytest.mark.skip(reason="a benchmark: ask for it with --benchmark-only"))
