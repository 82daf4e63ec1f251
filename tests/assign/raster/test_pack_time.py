"""The packing engine keeps to its time: a clock of our own ends it at any look, and what it does after that is counted."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from planlint.assign.raster import anneal, board, bound, lanes, seeds
from planlint.assign.raster import pack as packing
from planlint.assign.raster.counts import Counts
from planlint.assign.raster.masks import Masks
from planlint.assign.raster.pack import Budget, Packed, pack
from planlint.assign.raster.problem import Fixed, Packing, channel_steps
from planlint.rf.intermodulation import Limits
from tests.assign.raster.test_pack import clear

GUARDS = Limits(3, 3, 0, 0)
#: Large enough for every phase: more carriers than are tried exhaustively, closed stretches, lattices of two widths.
PROBLEM = Packing(channel_steps(0, 1500, 1, [(400, 520), (900, 960)]), 8, GUARDS)
LOOKS = (1, 2, 3, 5, 8, 20, 60, 120, 250, 500, 1_000, 2_000, 4_000, 5_000)
MOST_WORK = 400
"""Carriers placed, choices weighed and the like: less than a twentieth of a second of it."""


class Clock:
    """Runs a millisecond at each look, and jumps past every end at one of them."""

    def __init__(self, jump: int, at_jump: Callable[[], None] = lambda: None) -> None:
        self.looks, self.jump, self.at_jump, self.work = 0, jump, at_jump, 0

    def monotonic(self) -> float:
        self.looks += 1
        if self.looks == self.jump + 1:
            self.at_jump()
        return self.looks / 1000 + (1e6 if self.looks > self.jump else 0)

    def counted(self, work: Callable[..., Any]) -> Callable[..., Any]:
        def counting(*args: Any, **more: Any) -> Any:
            self.work += self.looks > self.jump
            return work(*args, **more)

        return counting


@pytest.fixture
def clocked(monkeypatch: pytest.MonkeyPatch) -> Callable[[Clock], Packed]:
    def run(clock: Clock) -> Packed:
        with monkeypatch.context() as patch:
            for module in (packing, lanes, anneal, board, seeds, bound):
                patch.setattr(module, "time", SimpleNamespace(monotonic=clock.monotonic))
            for owner, name in (
                (Masks, "add"), (Masks, "after"), (Counts, "add"), (Counts, "without"), (bound, "_pressure"),
                (seeds, "_scores"),
            ):  # fmt: skip
                patch.setattr(owner, name, clock.counted(getattr(owner, name)))
            return pack(PROBLEM, budget=Budget(seconds=1000))

    return run


@pytest.mark.parametrize("jump", LOOKS)
def test_when_time_is_over_little_is_done(clocked: Callable[[Clock], Packed], jump: int) -> None:
    clock = Clock(jump)
    found = clocked(clock)
    assert clock.looks > jump
    assert clock.work <= MOST_WORK
    assert not found.interrupted
    assert len(found.carriers) >= 8
    assert clear(found.carriers, 8, 3)
    assert len(found.carriers) <= found.bound


@pytest.mark.parametrize("jump", LOOKS)
def test_an_interrupt_gives_the_best_so_far(clocked: Callable[[Clock], Packed], jump: int) -> None:
    def interrupt() -> None:
        raise KeyboardInterrupt

    found = clocked(Clock(jump, interrupt))
    assert found.interrupted
    assert clear(found.carriers, 8, 3)
    assert len(found.carriers) >= max((count for _, count in found.history), default=0)
    if jump > 8:
        assert len(found.carriers) >= 8


def test_workers_change_the_time_and_not_the_answer() -> None:
    problem = Packing(tuple(range(900)), 8, Limits(2, 2, 0, 0), (Fixed(333, Limits(2, 2, 0, 0), 9),))
    alone, together = (pack(problem, budget=Budget(seconds=None, rounds=2), workers=workers) for workers in (1, 2))
    assert alone.carriers == together.carriers
    assert [count for _, count in alone.history][-1] == [count for _, count in together.history][-1]


def test_a_very_short_time_still_gives_a_set() -> None:
    found = pack(PROBLEM, budget=Budget(seconds=0.0), workers=2)
    assert len(found.carriers) >= 8
    assert clear(found.carriers, 8, 3)
