"""The lightest hitting set against all subsets, tried one by one."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.assign.hitting import least, lightest

NAMES = "abcdefgh"


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(
    st.lists(st.frozensets(st.sampled_from(NAMES), min_size=1, max_size=4), max_size=8),
    st.lists(st.integers(1, 5), min_size=len(NAMES), max_size=len(NAMES)),
    st.frozensets(st.sampled_from(NAMES), max_size=2),
)
def test_lightest_is_the_lightest_of_all_subsets(
    clauses: list[frozenset[str]], numbers: list[int], forced: frozenset[str]
) -> None:
    weights = dict(zip(NAMES, numbers, strict=True))
    every = [frozenset(some) | forced for size in range(len(NAMES) + 1) for some in combinations(NAMES, size)]
    wanted = min(sum(weights[name] for name in some) for some in every if all(some & ids for ids in clauses))
    found = lightest(clauses, weights, forced)
    assert found is not None
    assert all(found.ids & ids for ids in clauses)
    assert forced <= found.ids
    assert found.weight == found.bound == wanted == sum(weights[name] for name in found.ids)
    assert least(clauses, weights) <= min(
        sum(weights[name] for name in some) for some in every if all(some & ids for ids in clauses)
    )


def test_an_empty_clause_cannot_be_hit() -> None:
    assert lightest([frozenset("z")], {"a": 1}) is None
