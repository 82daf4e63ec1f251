"""The relations against the definition: every tuple of indices tried, nothing taken from the engine."""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import permutations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from planlint.rf import intermodulation as plain
from planlint.rf import intermodulation_join as join
from planlint.rf import intermodulation_survey as survey
from planlint.rf.intermodulation import Limits, Relation, relations, relations_within

Term = tuple[int, int]
Equation = tuple[str, frozenset[frozenset[Term]], int]
Engine = Callable[[Sequence[int], Limits], Iterator[Relation]]

ENGINES = [pytest.param(plain._plain, id="plain"), pytest.param(join.relations, id="numpy")]


def definition(f: Sequence[int], limits: Sequence[int]) -> Counter[Equation]:
    """Each equation over different indices once; coefficients and kinds as the format defines them."""
    kinds = ("two_signal_third", "three_signal_third", "two_signal_fifth", "three_signal_fifth")
    shapes: list[tuple[int, list[int], list[int]]] = [
        (0, [2], [1, 1]),
        (1, [1, 1], [1, 1]),
        (2, [3], [2, 1]),
        (3, [2, 1], [2, 1]),
        (3, [3], [1, 1, 1]),
    ]
    found: set[Equation] = set()
    for kind, left, right in shapes:
        for chosen in permutations(range(len(f)), len(left) + len(right)):
            one = frozenset(zip(left, chosen[: len(left)], strict=True))
            other = frozenset(zip(right, chosen[len(left) :], strict=True))
            offset = abs(sum(c * f[i] for c, i in one) - sum(c * f[i] for c, i in other))
            if offset < limits[kind]:
                found.add((kinds[kind], frozenset((one, other)), offset))
    return Counter(found)


def as_equations(found: Iterator[Relation]) -> Counter[Equation]:
    return Counter((one.kind, frozenset((frozenset(one.left), frozenset(one.right))), one.offset_hz) for one in found)


def within(sets: Sequence[Collection[int]], equations: Counter[Equation]) -> Counter[Equation]:
    return Counter(
        {
            equation: 1
            for equation in equations
            if any({i for side in equation[1] for _, i in side} <= set(together) for together in sets)
        }
    )


loose = st.integers(0, 2_000_000)
raster = st.integers(0, 12).map(lambda step: 470_000_000 + 25_000 * step)
near_raster = st.builds(lambda base, more: base + more, raster, st.integers(-2, 2))
carriers = st.one_of(st.lists(loose, max_size=7), st.lists(raster, max_size=7), st.lists(near_raster, max_size=7))
limit = st.one_of(st.sampled_from([0, 1, 2, 3, 24_999, 25_000, 25_001, 50_000, 10**12]), st.integers(0, 3_000_000))
limits_of_all = st.builds(Limits, limit, limit, limit, limit)


@pytest.mark.parametrize("engine", ENGINES)
@given(f=carriers, limits=limits_of_all)
@example(f=[7] * 6, limits=Limits(1, 1, 1, 1))
@example(f=[0, 1, 2, 3, 4, 5, 6], limits=Limits(1, 1, 1, 1))
@example(f=[0, 25_000, 50_001, 75_000, 100_002], limits=Limits(1, 2, 3, 4))
@settings(deadline=None, max_examples=150)
def test_every_relation_once(engine: Engine, f: list[int], limits: Limits) -> None:
    assert as_equations(engine(f, limits)) == definition(f, limits)


@pytest.mark.parametrize("engine", ENGINES)
@given(f=carriers, data=st.data())
@settings(deadline=None, max_examples=80)
def test_exactly_at_the_limit(engine: Engine, f: list[int], data: st.DataObject) -> None:
    """A limit equal to an offset that occurs leaves that relation out; one hertz more lets it in."""
    offsets = sorted({offset for _, _, offset in definition(f, [10**12] * 4)})
    if not offsets:
        return
    offset = data.draw(st.sampled_from(offsets))
    for step in (0, 1):
        limits = Limits(*[offset + step] * 4)
        found = as_equations(engine(f, limits))
        assert found == definition(f, limits)
        assert any(one[2] == offset for one in found) == bool(step)


@given(f=st.lists(st.integers(0, 10**25), max_size=6), limits=limits_of_all)
@settings(deadline=None, max_examples=60)
def test_integers_of_any_size(f: list[int], limits: Limits) -> None:
    huge = [10**15 * carrier for carrier in f]
    wide = Limits(*(10**15 * limit for limit in limits))
    assert as_equations(relations(huge, wide)) == definition(huge, wide)


@given(f=st.lists(st.one_of(raster, near_raster), max_size=24), limits=limits_of_all)
@settings(deadline=None, max_examples=40)
def test_both_joins_give_one_stream(f: list[int], limits: Limits) -> None:
    narrow = Limits(*(min(limit, 60_000) for limit in limits))
    assert list(join.relations(f, narrow)) == list(plain._plain(f, narrow))


def test_streams_agree_across_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Blocks far smaller than the windows change nothing."""
    monkeypatch.setattr(join, "BLOCK", 5)
    f = [470_000_000 + 25_000 * (i * i % 97) for i in range(30)]
    limits = Limits(30_000, 30_000, 30_000, 1)
    found = list(plain._plain(f, limits))
    assert len(found) > 1000
    assert list(join.relations(f, limits)) == found


def test_the_larger_sets_take_the_same_road() -> None:
    """Either side of the switch from plain Python to numpy, and back for carriers that do not fit 64 bits."""
    f = [470_000_000 + 1000 * (i**3 % 131_071) for i in range(plain.PURE_UP_TO + 1)]
    limits = Limits(2_000, 1_000, 1_000, 0)
    found = list(relations(f, limits))
    assert len(found) > 100
    assert found == list(plain._plain(f, limits))
    wide = [10**20 * carrier for carrier in f]
    stretched = list(relations(wide, Limits(*(10**20 * limit for limit in limits))))
    assert [(one.kind, one.left, one.right) for one in stretched] == [(one.kind, one.left, one.right) for one in found]


def test_numpy_joins_only_sets_beyond_the_switch(monkeypatch: pytest.MonkeyPatch) -> None:
    sentinel = Relation("by numpy", (), (), 0)
    monkeypatch.setattr(join, "relations", lambda carriers, limits: iter([sentinel]))
    for count, by_numpy in ((plain.PURE_UP_TO - 1, 0), (plain.PURE_UP_TO, 0), (plain.PURE_UP_TO + 1, 1)):
        spread = [10**6 + 7**5 * i * i for i in range(count)]
        assert list(relations(spread, Limits(1, 0, 0, 0))).count(sentinel) == by_numpy


def test_widest_span_that_fits_is_exact() -> None:
    """Carriers at the edge of what 64-bit keys hold give what the plain join gives."""
    count = 9
    span = 1
    while join.fits([0, 2 * span] + [0] * (count - 2)):
        span *= 2
    f = [span * i // 8 - (i % 3) for i in range(count)]
    limits = Limits(10, 10, 10**30, 10)
    assert join.fits(f)
    assert list(join.relations(f, limits)) == list(plain._plain(f, limits))


sets_of = st.lists(st.sets(st.integers(0, 6)), max_size=4)


@given(f=st.lists(raster, min_size=7, max_size=7), limits=limits_of_all, sets=sets_of)
@settings(deadline=None, max_examples=60)
def test_carriers_on_the_air_together(f: list[int], limits: Limits, sets: list[set[int]]) -> None:
    """A relation counts when one interval holds all its carriers, and once however many do."""
    assert as_equations(relations_within(f, limits, sets)) == within(sets, definition(f, limits))


@pytest.mark.parametrize("unknown", [[0, 3], [-1, 0]])
def test_sets_of_unknown_carriers(unknown: list[int]) -> None:
    with pytest.raises(IndexError, match="3 carriers"):
        list(relations_within([1, 2, 3], Limits(1, 1, 1, 1), [[0, 1, 2], unknown]))
    assert len(list(relations_within([1, 2, 3], Limits(1, 1, 1, 1), [[], [0, 1, 2], [2, 1, 0]]))) == 1


@pytest.mark.parametrize("listed_up_to", [0, 7], ids=["counted", "listed"])
@given(
    f=st.lists(st.one_of(raster, near_raster), min_size=7, max_size=7),
    limits=limits_of_all,
    sets=st.one_of(st.just([set(range(7))]), sets_of),
    keep=st.sampled_from([0, 1, 3, 10, 1000]),
)
@settings(deadline=None, max_examples=120)
def test_survey(listed_up_to: int, f: list[int], limits: Limits, sets: list[set[int]], keep: int) -> None:
    """Totals and numbers per carrier are exact; what is kept is the closest, the same by either road."""
    expected = within(sets, definition(f, limits))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(survey, "LISTED_UP_TO", listed_up_to)
        found = survey.survey(f, limits, keep, sets)
    for kind in Limits._fields:
        sides = [[i for side in one[1] for _, i in side] for one in expected if one[0] == kind]
        assert found.totals[kind] == len(sides)
        assert found.per_carrier[kind] == tuple(sum(i in side for side in sides) for i in range(7))
    assert [one.offset_hz for one in found.closest] == sorted(one[2] for one in expected)[:keep]
    assert set(as_equations(iter(found.closest))) <= set(expected)
    assert len(set(found.closest)) == len(found.closest)
    stream = relations_within(f, limits, sets)
    assert list(found.closest) == sorted(stream, key=lambda one: one.offset_hz)[:keep]


@pytest.mark.parametrize("count", [0, 1, 2, 3, survey.LISTED_UP_TO, survey.LISTED_UP_TO + 1])
def test_survey_of_any_number_of_carriers(count: int) -> None:
    f = [470_000_000 + 25_000 * (i * i % 61) for i in range(count)]
    limits = Limits(1, 1, 1, 1)
    found = survey.survey(f, limits, keep=5)
    everything = list(plain._plain(f, limits))
    assert sum(found.totals.values()) == len(everything)
    assert list(found.closest) == sorted(everything, key=lambda one: one.offset_hz)[:5]


def test_closest_of_many() -> None:
    """Offsets of all sizes, ties at the last place, and any number kept: the head of the sorted stream."""
    f = [470_000_000 + 25_000 * (i * i % 61) + 700 * (i % 4) for i in range(survey.LISTED_UP_TO + 6)]
    limits = Limits(30_000, 20_000, 1_500, 1_000)
    everything = sorted(plain._plain(f, limits), key=lambda one: one.offset_hz)
    offsets = [one.offset_hz for one in everything]
    assert len(set(offsets)) > 10
    for keep in (1, offsets.count(0), offsets.count(0) + 1, 700, 1999, len(offsets) - 1, len(offsets)):
        found = survey.survey(f, limits, keep)
        assert list(found.closest) == everything[:keep]
        assert sum(found.totals.values()) == len(everything)
    with pytest.raises(ValueError, match="keep"):
        survey.survey(f, limits, -1)


@pytest.mark.parametrize("sets", [[range(6)], [[0, 1, 2], [3, 4, 5]], [[0, 1, 3, 4], [1, 2, 4, 5], [0, 1, 2]]])
def test_counts_as_carriers_come_within_the_limit(
    monkeypatch: pytest.MonkeyPatch, sets: Sequence[Collection[int]]
) -> None:
    """A carrier near another matches sums that hold it; limits past once, twice and three times their distance."""
    f = [0, 10, 23, 1000, 1011, 1030]
    for limit in range(1, 80):
        limits = Limits(limit, limit, limit, limit)
        expected = within(sets, definition(f, limits))
        with monkeypatch.context() as patch:
            patch.setattr(survey, "LISTED_UP_TO", 0)
            found = survey.survey(f, limits, keep=0, sets=sets)
        kinds = Counter(kind for kind, _, _ in expected)
        assert found.totals == {kind: kinds[kind] for kind in Limits._fields}
        taking_part = [sum(i in {at for side in one[1] for _, at in side} for one in expected) for i in range(6)]
        assert [sum(counts) for counts in zip(*found.per_carrier.values(), strict=True)] == taking_part


def test_survey_of_carriers_that_do_not_fit_64_bits() -> None:
    f = [10**30 * (i % 5) for i in range(survey.LISTED_UP_TO + 2)]
    found = survey.survey(f, Limits(1, 0, 0, 0), keep=0)
    assert found.totals["two_signal_third"] == sum(1 for _ in plain._plain(f, Limits(1, 0, 0, 0)))
    assert found.closest == ()
