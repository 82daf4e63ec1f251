"""The smallest repair against trying every set of links; every repair checked again by definition.

The oracle (tests/assign/raster/by_definition.py) imports nothing of the search. The same comparison over 200 plans
is a benchmark.
"""

from __future__ import annotations

import pytest

from planlint.assign.clock import Clock
from planlint.assign.raster.outcome import Effort, Repaired
from planlint.assign.raster.problem import Repair, Slot
from planlint.assign.raster.repair import repair
from planlint.rf.intermodulation import Limits
from tests.assign.raster.by_definition import wrong_with
from tests.assign.raster.venues import as_links, big, venue

THIRD = Limits(2, 1, 0, 0)


def checked(problem: Repair, found: Repaired) -> dict[int, int]:
    """Return the carriers after a repair, checked by definition: allowed, clear, paid for as said."""
    assert found.moves is not None
    slots = problem.slots
    after = {at: slot.carrier for at, slot in enumerate(slots) if slot.carrier is not None} | found.moves
    assert after.keys() == set(range(len(slots)))
    for at, carrier in found.moves.items():
        assert carrier in slots[at].choices
        assert carrier != slots[at].carrier
        assert not slots[at].stays
    assert found.cost == sum(slots[at].touch for at in found.moves)
    stay = {at for at, slot in enumerate(slots) if slot.stays}
    wrong = [who for who, _ in wrong_with(as_links(problem), after) if not who <= stay]
    assert not wrong
    assert {frozenset(clash.slots) for clash in found.stuck} == {
        who for who, _ in wrong_with(as_links(problem), after) if who <= stay
    }
    return after


@pytest.mark.parametrize("seed", range(24))
@pytest.mark.filterwarnings("error")
def test_the_cost_is_the_least_there_is(seed: int) -> None:
    problem = venue(seed, None if seed != 20 else 12)
    found = repair(problem, effort=Effort(equals=4, stretches=20))
    checked(problem, found)
    assert found.proven
    assert found.cost == found.bound == as_links(problem).cheapest()


@pytest.mark.parametrize("seed", range(4))
def test_a_proven_margin_is_the_largest_of_its_cost(seed: int) -> None:
    """Every carrier of the one slot that moves, tried one by one."""
    choices = tuple(range(0, 120, 2))
    carriers = [(7 * seed + 13 * at * at) % 60 * 2 for at in range(4)]
    carriers[3] = carriers[2]
    slots = tuple(Slot(carrier, choices, touch=1 + (at == 3) * 5, guards=THIRD) for at, carrier in enumerate(carriers))
    problem = Repair(slots, ((6,),))
    found = repair(problem)
    after = checked(problem, found)
    assert found.proven
    if len(found.moves or {}) != 1:
        return
    links, best = as_links(problem), None
    for slot in range(4):
        for choice in choices:
            trial = {**dict(enumerate(carriers)), slot: choice}
            if slots[slot].touch == found.cost and choice != carriers[slot] and not wrong_with(links, trial):
                best = max(links.margin(trial, {slot}), best if best is not None else -1)
    assert found.margin == best == links.margin(after, set(found.moves or {}))
    assert found.margin_proven


def test_nothing_wrong_nothing_moves() -> None:
    slots = tuple(Slot(carrier, (0, 10, 30, 70), guards=THIRD) for carrier in (0, 10, 30))
    found = repair(Repair(slots, ((5,),)))
    assert (found.moves, found.cost, found.proven) == ({}, 0, True)


def test_nothing_fits_is_proven_by_trying_everything() -> None:
    slots = tuple(Slot(None, (0, 5, 10), guards=Limits(1, 1, 0, 0)) for _ in range(3))
    found = repair(Repair(slots, ((5,),)))  # 0, 5, 10: 2 * 5 = 0 + 10
    assert (found.moves, found.proven) == (None, True)
    off = tuple(Slot(None, (0, 5, 10)) for _ in range(3))
    assert repair(Repair(off, ((5,),))).cost == 3


def test_what_is_forbidden_together_is_not_taken() -> None:
    slots = (Slot(None, (0, 20)), Slot(None, (10, 30)))
    assert repair(Repair(slots, ((5,),))).moves is not None
    for one in (0, 20):
        for two in (10, 30):
            rest = [(a, b) for a in (0, 20) for b in (10, 30) if (a, b) != (one, two)]
            problem = Repair(slots, ((5,),), forbidden=tuple(frozenset({(0, a), (1, b)}) for a, b in rest))
            assert repair(problem).moves == {0: one, 1: two}
    every = tuple(frozenset({(0, a), (1, b)}) for a in (0, 20) for b in (10, 30))
    found = repair(Repair(slots, ((5,),), forbidden=every))
    assert (found.moves, found.proven) == (None, True)


def test_an_interrupt_gives_the_best_so_far() -> None:
    def stop(_bound: int, cost: int | None) -> None:
        if cost is not None:
            raise KeyboardInterrupt

    problem = venue(3)
    found = repair(problem, progress=stop)
    checked(problem, found)
    assert found.interrupted
    assert found.margin is not None
    assert not found.margin_proven


def test_no_time_at_all_is_said() -> None:
    problem = venue(3)
    found = repair(problem, clock=Clock(0.0))
    checked(problem, found)  # the first placing of everybody is worth having
    assert found.cost > found.bound
    assert not found.proven


def test_the_same_seed_gives_the_same_answer() -> None:
    assert repair(venue(5)) == repair(venue(5))


@pytest.mark.parametrize("seed", range(2))
def test_a_festival_of_sixty(seed: int) -> None:
    """Acts of twenty, one after another, that share a house's carriers: nothing to compare with, so only checked."""
    problem = big(seed, acts=3, each=20)
    found = repair(problem, effort=Effort(equals=0))
    checked(problem, found)
    assert found.bound <= found.cost


@pytest.mark.parametrize(("other", "fits"), [(500_399_999, False), (500_400_000, True)])
def test_a_single_choice_in_hz(other: int, fits: bool) -> None:
    """One carrier lies on any raster; the others stand megahertz away, to the hertz."""
    guards = Limits(100_000, 50_000, 50_000, 50_000)
    far = (472_000_003, 551_000_000, 607_900_001)
    slots = (
        Slot(None, (500_000_000,), guards=guards),
        *(Slot(carrier, (), guards=guards, pinned=True) for carrier in (other, *far)),
    )
    found = repair(Repair(slots, ((400_000,),)))
    assert (found.moves, found.proven) == ({0: 500_000_000} if fits else None, True)
    at_product = 2 * 500_000_000 - 472_000_003 + 99_999
    slots = (slots[0], Slot(at_product, (), guards=guards, pinned=True), slots[2])
    assert repair(Repair(slots, ((400_000,),))).moves is None
