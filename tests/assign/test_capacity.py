"""How many more links fit, against every subset of the carriers (tests/assign/tour_by_trial.py)."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from planlint.assign.capacity import Room, room
from planlint.facts import Facts
from planlint.plan.model import Range
from tests.assign.tour_by_trial import clear, most_more
from tests.plans import facts_of

SPACING, LIMITS = 300, (100, 50, 50)  # 200 kHz emissions: B/2, B/4, B/4; the spacing is the house's
PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
policy: {spacing_khz: {ear_to_ear: 300}}
spectrum: {tv_occupied: [%(live)s]}
models:
  t: {role: ear-transmitter, tuning_mhz: [{low: %(low)s, high: %(high)s}], step_khz: 75, emission_khz: 200}
  p: {role: ear-pack, tuning_mhz: [{low: %(from)s, high: 480.000}]}
devices: {T: {model: t}, P: {model: p}, U: {model: t}}
links:
  a: {kind: ear, tx: T, packs: {P: {}}, carrier_mhz: %(a)s}
  b: {kind: ear, tx: U, carrier_mhz: %(b)s}
"""


def _plan(folder: Path, seed: int) -> tuple[Facts, list[int], list[int], range]:
    """A random plan; what both links' ends can take beside live TV, the live carriers, the pack's range: in kHz."""
    rng = random.Random(seed)
    low, count = 475_000, rng.choice([14, 18, 22])
    line = range(low, low + 75 * count, 75)
    first = rng.choice([470_000, low + 250])
    live = [low + 75 * rng.randrange(count) for _ in range(2)]
    channel = rng.choice([None, 15])
    text = PLAN % {
        "live": channel or "", "low": f"{low / 1000:.3f}", "high": f"{line[-1] / 1000:.3f}", "from": f"{first / 1000:.3f}",
        "a": f"{live[0] / 1000:.3f}", "b": f"{live[1] / 1000:.3f}",
    }  # fmt: skip
    # TV 15 begins at 476 MHz (47 CFR 73.603(a)); half an emission and the guard of 100 kHz (common practice) below it
    free = [khz for khz in line if khz >= first and not (channel == 15 and khz > 475_800)]
    return facts_of(folder, text), free, live, line


@pytest.mark.parametrize("seed", range(30))
def test_the_count_equals_every_subset(seed: int, tmp_path: Path) -> None:
    facts, free, live, line = _plan(tmp_path, seed)
    found = room(facts, "ear", 0.4)
    half = (max(line[0], free[0]) + line[-1]) // 2
    trials = {
        "as they are": free,
        "lower half only": [khz for khz in free if khz <= half],
        "upper half only": [khz for khz in free if khz >= half],
    }
    for count in (found.now, *found.other_ranges):
        if count.label not in trials:
            continue
        choices = trials[count.label]
        most = most_more(choices, live, SPACING, LIMITS)
        assert count.found <= most <= count.bound, count.label
        assert count.proven, count.label
        more = [hz // 1000 for hz in count.carriers_hz]
        assert set(more) <= set(choices)
        assert clear(more, live, LIMITS)
        assert count.allowed == len(choices)
        assert count.clear == sum(most_more([khz], live, SPACING, LIMITS) for khz in choices)


def _fixed(folder: Path, live: str, first: str = "470.000") -> Facts:
    ends = {"low": "475.000", "high": "476.500", "from": first, "a": "475.000", "b": "476.500"}
    return facts_of(folder, PLAN % {"live": live, **ends})


def test_what_limits_it(tmp_path: Path) -> None:
    found = room(_fixed(tmp_path, "15", "475.200"), "ear", 0.3)
    line = range(475_000, 476_501, 75)
    assert found.tunable == len(line)
    # TV 15 begins at 476 MHz: half an emission reaches in, or comes nearer than the guard of 100 kHz
    assert dict(found.closed) == {
        "carrier-out-of-tuning": sum(khz < 475_200 for khz in line),
        "occupied-tv-channel": sum(khz + 100 > 476_000 for khz in line),
        "tv-edge-guard": sum(0 <= 476_000 - (khz + 100) < 100 for khz in line),
    }
    assert found.now.ranges == (Range(475_200_000, 476_500_000),)


def test_the_whole_band_takes_the_units_beyond_their_range(tmp_path: Path) -> None:
    facts, *_ = _plan(tmp_path, 0)
    found = room(facts, "ear", 3.0)
    wide = found.other_ranges[-1]
    # 470-608 MHz: 47 CFR 15.236(d) and 74.802, as regions/us.yaml has them
    assert wide.ranges == (Range(470_000_000, 608_000_000),)
    assert wide.found > found.now.found
    assert all(470_100_000 <= hz <= 607_900_000 and (hz - 470_000_000) % 75_000 == 0 for hz in wide.carriers_hz)
    assert clear([hz // 1000 for hz in wide.carriers_hz], [hz // 1000 for hz in facts.carriers.values()], LIMITS)


def test_a_plan_without_such_links(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: []}\n")
    found: Room = room(facts, "mic", 1.0)
    assert found.links == ()
    assert found.other_ranges == ()
    assert found.now.found > 10
    assert found.assumed


def test_nothing_fits_where_everything_is_closed(tmp_path: Path) -> None:
    found = room(_fixed(tmp_path, "14, 15"), "ear", 0.3)
    assert (found.now.found, found.now.bound, found.now.allowed, found.now.proven) == (0, 0, 0, True)
