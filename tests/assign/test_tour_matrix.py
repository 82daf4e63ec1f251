"""The tour's touches and runs against trying every assignment of every night (tests/assign/tour_by_trial.py)."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise, product
from pathlib import Path

import pytest

from planlint.assign.clock import Clock
from planlint.assign.tour_fit import Fit, Fitter, Stay
from planlint.assign.tour_matrix import matrix
from planlint.assign.tour_runs import longest
from planlint.assign.tour_search import fewest, lightest_by_parts
from planlint.assign.tour_touches import fewest_alone
from tests.assign.tour_by_trial import Date, apart, clear, fewest_touches, longest_run
from tests.assign.tour_case import LIMITS, SPACING, Case, found_for, tour_of, venue


@pytest.mark.parametrize("seed", range(60))
def test_touches_and_runs_equal_trying_everything(seed: int, tmp_path: Path) -> None:
    case = Case(seed, tmp_path)
    sets = case.sets()
    found = found_for(tmp_path, case.files)
    assert set(found.no_set) == {at for at, one in enumerate(sets) if not one}
    assert set(found.no_set.values()) <= {"none"}
    assert found.run.length == longest_run(sets)
    assert found.run.proven
    dates = [one for one in sets if one]
    if not dates:
        return
    fewest = fewest_touches(dates, case.weights)
    assert found.touches.proven
    assert found.touches.found == fewest
    assert found.touches.alone <= found.touches.bound
    for date, carriers in zip([case.dates[at] for at in found.dates], found.touches.carriers, strict=True):
        khz = {link: hz // 1000 for link, hz in carriers.items()}
        assert khz in sets[case.dates.index(date)]


@pytest.mark.parametrize("seed", range(60, 90))
def test_from_tonight_on_equals_trying_everything(seed: int, tmp_path: Path) -> None:
    case = Case(seed, tmp_path)
    sets = case.sets()
    if not sets[0]:
        return
    tonight = random.Random(seed).choice(sets[0])
    carriers, others, live = case.venues[0]
    carriers = carriers | {name: f"carrier_mhz: {khz / 1000:.3f}" for name, khz in tonight.items()}
    (tmp_path / case.files[0]).write_text(venue(0, carriers, others, live), "utf-8")
    found = found_for(tmp_path, case.files)
    dates = [[tonight], *(one for one in sets[1:] if one)]
    if len(dates) == 1:
        assert found.from_tonight is None
        return
    assert found.from_tonight is not None
    assert found.from_tonight.proven
    assert found.from_tonight.found == fewest_touches(dates, case.weights)
    assert found.from_tonight.carriers[0] == {name: 1000 * khz for name, khz in tonight.items()}
    holds = [_holds(case, tonight, date) for date in case.dates]
    assert found.tonight_lasts == (0, [*holds, False].index(False) - 1)


def _holds(case: Case, tonight: dict[str, int], date: Date) -> bool:
    ours = {name: khz for name, khz in tonight.items() if name in date.choices}
    allowed = all(khz in date.choices[name] for name, khz in ours.items())
    return allowed and apart(ours, case.kinds, SPACING) and clear(list(ours.values()), date.others, LIMITS)


@pytest.mark.parametrize("seed", [6, 20, 23])
def test_without_time_the_bound_still_holds(seed: int, tmp_path: Path) -> None:
    case = Case(seed, tmp_path)
    exact = fewest_touches([one for one in case.sets() if one], case.weights)
    assert exact is not None
    tour = tour_of(tmp_path, case.files)
    found = matrix(tour, tour.all[0], 0.0)
    assert found.touches.found is not None
    assert found.touches.bound <= exact <= found.touches.found
    assert found.touches.proven == (found.touches.found == found.touches.bound)
    assert found.run.length <= longest_run(case.sets())


def test_a_run_is_proven_only_where_every_longer_one_was_ruled_out(tmp_path: Path) -> None:
    case = Case(8, tmp_path)  # no set for all dates
    nights = tour_of(tmp_path, case.files).nights
    whole = longest(Fitter(nights, Clock()), {})
    assert whole.proven
    assert 0 < whole.length < len(nights)
    assert not longest(Fitter(nights, Clock()), {len(nights) - 1: "unknown"}).proven
    assert longest(Fitter(nights[:2], Clock()), {1: "none"}).proven
    assert not longest(Fitter(nights, Clock(0.0)), {}).proven


class Doubtful(Fitter):
    """A search that gives up on whatever would be an answer."""

    def fit(self, stays: Sequence[Stay], *, nodes: int = 4_000, tries: int = 3, slack_hz: int = 0) -> Fit:
        return super().fit(stays, nodes=nodes, tries=tries) if tries == 0 and nodes == 300 else Fit("unknown", {})


@pytest.mark.parametrize("seed", [0, 5, 14, 20, 23, 24, 34])
def test_a_search_that_gives_up_proves_nothing(seed: int, tmp_path: Path) -> None:
    case = Case(seed, tmp_path)
    sets = case.sets()
    exact = fewest_touches([one for one in sets if one], case.weights)
    tour = tour_of(tmp_path, case.files)
    nights = [night for night, one in zip(tour.nights, sets, strict=True) if one]
    start = tuple({name: 1000 * khz for name, khz in one[0].items()} for one in sets if one)
    found = fewest(Doubtful(nights, Clock(5.0)), [start])
    assert found.found is not None
    assert exact is not None
    assert found.bound <= exact <= found.found


@pytest.mark.parametrize("seed", range(50))
def test_one_link_alone_equals_trying_everything(seed: int) -> None:
    rng = random.Random(seed)
    lines = [frozenset(rng.sample(range(6), rng.randint(1, 3))) for _ in range(rng.randint(1, 7))]
    weights = [rng.randint(1, 4) for _ in lines[1:]]
    every = (
        sum(weight for weight, (one, other) in zip(weights, pairwise(path), strict=True) if one != other)
        for path in product(*lines)
    )
    least = min(every)
    for order in (None, random.Random(1)):
        found = fewest_alone(lines, weights, order)
        assert found.weight == least == sum(weights[change - 1] for change in found.changes)
        starts = [0, *found.changes, len(lines)]
        assert all(frozenset.intersection(*lines[first:end]) for first, end in pairwise(starts))


@pytest.mark.parametrize("seed", range(30))
def test_lightest_changes_equal_every_subset(seed: int) -> None:
    rng = random.Random(seed)
    count = 8
    weights = [rng.randint(1, 4) for _ in range(count)]
    clauses = [sum(1 << at for at in rng.sample(range(count), rng.randint(1, 3))) for _ in range(rng.randint(0, 6))]
    hits = (some for some in range(1 << count) if all(some & clause for clause in clauses))
    least = min(sum(weights[at] for at in range(count) if some >> at & 1) for some in hits)
    found = lightest_by_parts(clauses, weights)
    assert found is not None
    assert (found.weight, found.bound) == (least, least)
    assert all(found.members & clause for clause in clauses)
