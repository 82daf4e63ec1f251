"""The lightest hitting set against all subsets, tried one by one."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.assign.raster.hitting import bits, lightest, members_of, weigh

SIZE = 8


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(
    st.lists(st.frozensets(st.sampled_from(range(SIZE)), min_size=1, max_size=4), max_size=8),
    st.lists(st.integers(1, 5), min_size=SIZE, max_size=SIZE),
    st.frozensets(st.sampled_from(range(SIZE)), max_size=2),
)
def test_lightest_is_the_lightest_of_all_subsets(
    clauses: list[frozenset[int]], weights: list[int], must: frozenset[int]
) -> None:
    every = [frozenset(some) | must for size in range(SIZE + 1) for some in combinations(range(SIZE), size)]
    wanted = min(sum(weights[one] for one in some) for some in every if all(some & clause for clause in clauses))
    found = lightest([bits(clause) for clause in clauses], weights, bits(must))
    assert found is not None
    members = frozenset(members_of(found.members))
    assert all(members & clause for clause in clauses)
    assert must <= members
    assert (
        found.weight == found.bound == wanted == sum(weights[one] for one in members) == weigh(found.members, weights)
    )


@settings(max_examples=100, deadline=None, derandomize=True, database=None)
@given(st.lists(st.frozensets(st.sampled_from(range(SIZE)), min_size=1, max_size=3), min_size=3, max_size=9))
def test_cut_short_the_bound_still_holds(clauses: list[frozenset[int]]) -> None:
    weights = [3, 1, 4, 1, 5, 2, 2, 3]
    exact, short = (lightest([bits(clause) for clause in clauses], weights, nodes=nodes) for nodes in (20_000, 1))
    assert exact is not None
    assert short is not None
    assert short.bound <= exact.weight <= short.weight


def test_an_empty_clause_cannot_be_hit() -> None:
    assert lightest([0], [1]) is None
