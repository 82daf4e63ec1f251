"""The tour's touches and runs against trying every assignment of every night (tests/assign/tour_by_trial.py)."""

from __future__ import annotations

import random
from itertools import pairwise, product
from pathlib import Path

import pytest

from planlint.assign.clock import Clock
from planlint.assign.tour_fit import Fitter
from planlint.assign.tour_matrix import Matrix, matrix
from planlint.assign.tour_nights import Night, Tour, in_order
from planlint.assign.tour_runs import longest
from planlint.assign.tour_search import lightest_by_parts
from planlint.assign.tour_touches import fewest_alone
from planlint.facts import Facts
from planlint.plan import Shelf, build, resolve
from tests.assign.tour_by_trial import Date, apart, clear, fewest_touches, longest_run, sets_of

STEP = 175
LIMITS = (100, 50, 50)  # 200 kHz emissions: B/2, B/4, B/4
SPACING = {frozenset({"ear"}): 300, frozenset({"mic"}): 350, frozenset({"ear", "mic"}): 500}  # the house's
TOUR = """\
plan_format: 1
kind: tour
uses: [models.yaml]
policy: {spacing_khz: {ear_to_ear: 300, mic_to_mic: 350, ear_to_mic: 500}}
devices: {%(devices)s}
links:
%(links)s
"""


MODELS = """\
plan_format: 1
kind: models
models:
  t: {role: ear-transmitter, tuning_mhz: [{low: %(low)s, high: %(high)s}], step_khz: 175, emission_khz: 200}
  p: {role: ear-pack}
"""


class Case:
    """A random tour: a narrow band across a TV channel's edge, others on the air, links that come and go.

    TV 14 and 15 meet at 476 MHz (47 CFR 73.603(a)); an emission's edge keeps 100 kHz from a live one (common practice).
    """

    def __init__(self, seed: int, folder: Path) -> None:
        rng = random.Random(seed)
        low = 474_800
        self.positions = [low + STEP * at for at in range(rng.choice([12, 13, 14]))]
        names = [f"e{at}" for at in range(rng.choice([2, 3, 3]))]
        self.kinds = {name: rng.choice(["ear", "ear", "mic"]) for name in names}
        self.weights = {name: rng.choice([2, 3]) for name in names}
        self.dates: list[Date] = []
        self._write_tour(folder, names)
        self.files: list[str] = []
        self.venues: list[tuple[dict[str, str], tuple[int, ...], int | None]] = []
        for number in range(rng.choice([3, 4, 4])):
            used = [name for name in names if rng.random() < 0.85] or names[:1]
            others = tuple(low - 300 + 25 * rng.randrange(90) for _ in range(rng.choice([0, 0, 1, 1])))
            live = rng.choice([None, None, 14, 15])
            self.files.append(f"v{number}.yaml")
            carriers = {name: "carrier_mhz: auto" if name in used else "unused: not tonight" for name in names}
            self.venues.append((carriers, others, live))
            (folder / self.files[-1]).write_text(_venue(number, *self.venues[-1]), "utf-8")
            # the contract: somebody else's carrier keeps half of both emissions away
            free = [khz for khz in self.positions if all(abs(khz - other) >= 200 for other in others)]
            free = [khz for khz in free if live != 14 or khz >= 476_200]
            free = [khz for khz in free if live != 15 or khz <= 475_800]
            self.dates.append(Date({name: tuple(free) for name in used}, others))

    def _write_tour(self, folder: Path, names: list[str]) -> None:
        devices, links = [], []
        for name in names:
            devices.append(f"T{name}: {{model: t}}")
            self.weights[name] = 2 if self.kinds[name] == "mic" else self.weights[name]
            packs = [f"P{name}{at}" for at in range(self.weights[name] - 1)]
            devices += [f"{pack}: {{model: p}}" for pack in packs]
            held = ", ".join(f"{pack}: {{}}" for pack in packs)
            kind = self.kinds[name]
            ends = f"packs: {{{held}}}" if kind == "ear" else f"rx: P{name}0"
            links.append(f"  {name}: {{kind: {kind}, {'tx' if kind == 'ear' else 'mic'}: T{name}, {ends}}}")
        tour = TOUR % {"devices": ", ".join(devices), "links": "\n".join(links)}
        (folder / "tour.yaml").write_text(tour, "utf-8")
        span = {"low": f"{self.positions[0] / 1000:.3f}", "high": f"{self.positions[-1] / 1000:.3f}"}
        (folder / "models.yaml").write_text(MODELS % span, "utf-8")

    def sets(self) -> list[list[dict[str, int]]]:
        return [sets_of(date, self.kinds, SPACING, LIMITS) for date in self.dates]


def _venue(number: int, carriers: dict[str, str], others: tuple[int, ...], live: int | None) -> str:
    on_air = ", ".join(
        f"o{at}: {{carrier_mhz: {khz / 1000:.3f}, emission_khz: 200, kind: comms}}" for at, khz in enumerate(others)
    )
    return (
        "plan_format: 1\nkind: venue\nuses: [tour.yaml]\n"
        f'show: {{id: v{number}, place: Hall {number}, date: "2027-01-{10 + number}", region: us}}\n'
        f"spectrum: {{tv_occupied: [{live or ''}], others_on_air: {{{on_air}}}}}\n"
        "carriers:\n" + "".join(f"  {name}: {{{entry}}}\n" for name, entry in carriers.items())
    )


def tour_of(folder: Path, files: list[str]) -> Tour:
    shelf = Shelf(folder)
    nights = []
    for file in files:
        for judged in (file, "tour.yaml"):
            assert shelf.judged(judged).troubles == (), shelf.judged(judged).troubles
        nights.append(Night(Facts(build(resolve(shelf, file), shelf))))
    return in_order(nights)


def found_for(folder: Path, files: list[str], tonight: int = 0) -> Matrix:
    tour = tour_of(folder, files)
    return matrix(tour, tour.all[tonight], None)


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
    (tmp_path / case.files[0]).write_text(_venue(0, carriers, others, live), "utf-8")
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


def _write(folder: Path, **files: str) -> list[str]:
    (folder / "models.yaml").write_text(MODELS % {"low": "475.000", "high": "481.000"}, "utf-8")
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    return [f"{name}.yaml" for name in files if name != "tour"]


def _show(number: int, date: str, spectrum: str, carriers: str, more: str = "") -> str:
    return (
        f"plan_format: 1\nkind: venue\nuses: [tour.yaml]\n"
        f"show: {{id: v{number}, place: Hall {number}, region: us{date}}}\n"
        f"spectrum: {{{spectrum}}}\ncarriers: {{{carriers}}}\n{more}"
    )


TWO_LINKS = """\
plan_format: 1
kind: tour
uses: [models.yaml]
devices: {TA: {model: t}, TB: {model: t}}
links: {a: {kind: ear, tx: TA}, b: {kind: ear, tx: TB}}
"""


def test_the_table_says_which_rule_closes_what(tmp_path: Path) -> None:
    own = "a: {carrier_mhz: 475.350}, b: {carrier_mhz: 478.850}"
    files = _write(
        tmp_path,
        tour=TWO_LINKS,
        # 475.350 + 100 kHz reaches 475.450: clear of TV 15 (476-482 MHz, 47 CFR 73.603(a)) by 550; in TV 14 (470-476)
        tonight=_show(1, ', date: "2027-01-01"', "tv_occupied: []", own, "spares_mhz: {ear: [477.275, 475.525]}\n"),
        tv=_show(2, ', date: "2027-01-02"', "tv_occupied: [14]", "a: {carrier_mhz: 479.550}, b: {unused: away}"),
        pinned=_show(
            3, ', date: "2027-01-03"', "tv_occupied: []",
            "a: {carrier_mhz: 478.850, pinned: the house says so}, b: {carrier_mhz: 476.750}",
        ),
        crew=_show(
            4, "", "tv_occupied: [], others_on_air: {crew: {carrier_mhz: 475.400, emission_khz: 20, kind: comms}}",
            "a: {carrier_mhz: 477.450}, b: {carrier_mhz: 478.850}",
        ),
    )  # fmt: skip
    found = found_for(tmp_path, files)
    rows = {row.link or f"spare {row.carrier_hz}": row for row in found.rows}
    assert [night.plan.file for night in found.tour.all] == ["tonight.yaml", "tv.yaml", "pinned.yaml", "crew.yaml"]
    assert [cell.rules for cell in rows["a"].cells] == [
        (), ("occupied-tv-channel",), ("pinned",), ("others-on-air-collision",),
    ]  # fmt: skip
    assert [cell.used for cell in rows["b"].cells] == [True, False, True, True]
    assert [cell.rules for cell in rows["b"].cells] == [(), (), ("same-carrier-twice",), ()]
    # the house writes no spacing: twice 200 kHz; 175 kHz from a
    assert rows["spare 475525000"].cells[0].rules == ("spacing-too-close",)
    assert rows["spare 477275000"].cells[0].stands
    assert [len(found.tour.undated), found.tonight, found.tonight_lasts] == [1, 0, (0, 0)]
    # b beside those who stay: 400 kHz from a where it is pinned, half of 200 + 20 from the crew
    line = range(475_000, 481_001, 175)
    free = [khz for khz in line if abs(khz - 478_850) >= 400 and abs(khz - 475_400) >= 110]
    known = {one.links: [hz // 1000 for hz in one.carriers_hz] for one in found.survivors}
    assert known == {("b",): free, ("a",): [478_850]}
    (ranges,) = [
        [(low // 1000, high // 1000) for low, high, _ in one.ranges] for one in found.survivors if "b" in one.links
    ]
    assert ranges == [(475_000, 475_175), (475_525, 478_325), (479_375, 480_950)]


def test_links_never_on_together_may_share_a_carrier(tmp_path: Path) -> None:
    narrow = MODELS % {"low": "475.000", "high": "475.175"}
    day = (
        'day:\n  - {what: first, at: "19:00", until: "20:00", on_air: [a]}\n'
        '  - {what: second, at: "20:00", until: "21:00", on_air: [b]}\n'
    )
    auto = "a: {carrier_mhz: auto}, b: {carrier_mhz: auto}"
    files = _write(
        tmp_path,
        tour=TWO_LINKS,
        one=_show(1, ', date: "2027-01-01"', "tv_occupied: []", auto, day),
        two=_show(2, ', date: "2027-01-02"', "tv_occupied: []", auto, day),
        three=_show(3, ', date: "2027-01-03"', "tv_occupied: []", auto),
    )
    (tmp_path / "models.yaml").write_text(narrow, "utf-8")
    found = found_for(tmp_path, files)
    assert found.no_set == {2: "none"}  # both on at once: two carriers 175 kHz apart, 400 are needed
    assert (found.run.first, found.run.last, found.run.proven) == (0, 1, True)
    assert found.touches.found == 0


def test_links_of_one_wide_emission_move_together(tmp_path: Path) -> None:
    tour = TWO_LINKS.replace("{kind: ear, tx: TA}", "{kind: ear, tx: TA, wide_emission: W}").replace(
        "{kind: ear, tx: TB}", "{kind: ear, tx: TA, wide_emission: W}"
    )
    files = _write(
        tmp_path,
        tour=tour,
        one=_show(
            1, ', date: "2027-01-01"', "tv_occupied: [14]", "a: {carrier_mhz: 478.850}, b: {carrier_mhz: 478.850}"
        ),
        two=_show(
            2, ', date: "2027-01-02"', "tv_occupied: [15]", "a: {carrier_mhz: 475.350}, b: {carrier_mhz: 475.350}"
        ),
    )
    found = found_for(tmp_path, files)
    assert [row.cells[1].rules for row in found.rows] == [("occupied-tv-channel",)] * 2
    assert found.run.length == 1
    # their transmitter TA once, and for each of them the ends that are not written
    assert found.touches.found == found.touches.bound == 3
    assert found.written is not None
    assert found.written.touches == 3
    assert set(found.touches.carriers[0]) == {"a"}
