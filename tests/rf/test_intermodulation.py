"""The relations against published sets, counts and worked examples."""

import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from math import comb

import pytest

from planlint.rf import intermodulation_join as join
from planlint.rf.intermodulation import Limits, Relation, relations

Published = Callable[[str], list[dict[str, str]]]

TWO_SIGNAL = Limits(1, 0, 0, 0)
THREE_SIGNAL = Limits(0, 1, 0, 0)
THIRD = Limits(1, 1, 0, 0)
ALL = Limits(1, 1, 1, 1)
EVERYTHING = Limits(*[10**9] * 4)


def clear(carriers: Sequence[int], limits: Limits) -> bool:
    return next(relations(carriers, limits), None) is None


def numbers(text: str) -> list[int]:
    return [int(number) for number in text.split()]


def free_subsets(limits: Limits, top: int) -> tuple[list[int], list[int]]:
    """How many subsets of {1..n} are clear, and the size of the largest, for n = 0..top.

    A subset of a clear set is clear, so every clear set is reached by adding larger and larger carriers.
    """
    by_highest = [1] + [0] * top
    largest = [0] * (top + 1)
    grow: list[list[int]] = [[]]
    while grow:
        chosen = grow.pop()
        for extra in range(chosen[-1] + 1 if chosen else 1, top + 1):
            more = [*chosen, extra]
            if clear(more, limits):
                by_highest[extra] += 1
                largest[extra] = max(largest[extra], len(more))
                grow.append(more)
    return (
        [sum(by_highest[: n + 1]) for n in range(top + 1)],
        [max(largest[: n + 1]) for n in range(top + 1)],
    )


@pytest.mark.parametrize(
    ("sequence", "limits"),
    [("A051013", TWO_SIGNAL), ("A196723", THREE_SIGNAL), ("A143823", THIRD)],
)
def test_numbers_of_clear_subsets(published: Published, sequence: str, limits: Limits) -> None:
    """OEIS A051013 (no 2A - B), A196723 (no A + B - C), A143823 (neither), n up to 16."""
    expected = {int(row["n"]): int(row["value"]) for row in published("oeis") if row["sequence"] == sequence}
    found, _ = free_subsets(limits, 16)
    assert found == [expected[n] for n in range(17)]


def test_largest_sets_without_equal_steps(published: Published) -> None:
    """OEIS A003002: the most carriers of {1..n} with no 2A - B on a carrier; A065825 is its inverse."""
    rows = published("oeis")
    most = {int(row["n"]): int(row["value"]) for row in rows if row["sequence"] == "A003002"}
    least = {int(row["n"]): int(row["value"]) for row in rows if row["sequence"] == "A065825"}
    _, largest = free_subsets(TWO_SIGNAL, 16)
    assert largest == [most[n] for n in range(17)]
    for count, top in least.items():
        if top <= 16:
            assert largest[top] == count > largest[top - 1]


def test_optimal_golomb_rulers_are_clear_of_third_order(published: Published) -> None:
    """Lengths OEIS A003022 for 2 to 28 marks; the rulers themselves partly from memory, proved here."""
    lengths = {int(row["n"]): int(row["value"]) for row in published("oeis") if row["sequence"] == "A003022"}
    for row in published("golomb_rulers"):
        ruler = numbers(row["ruler"])
        assert len(ruler) == int(row["marks"])
        assert clear(ruler, THIRD), row
        if len(ruler) > 1:
            assert ruler[-1] == lengths[len(ruler)]


def test_no_shorter_ruler_is_clear(published: Published) -> None:
    """OEIS A003022: no third-order-clear set of n carriers fits a shorter span (n up to 6, exhaustive)."""
    lengths = {int(row["n"]): int(row["value"]) for row in published("oeis") if row["sequence"] == "A003022"}
    _, largest = free_subsets(THIRD, lengths[6] + 1)
    for marks in range(2, 7):
        channels = lengths[marks] + 1
        assert largest[channels] == marks == largest[channels - 1] + 1


def test_babcock_rows_are_clear_of_third_order(published: Published) -> None:
    """Babcock, Bell System Technical Journal 32 (1953): from memory, not verified; their validity is."""
    for row in published("babcock_1953"):
        channels = numbers(row["set"])
        assert len(channels) == int(row["working_channels"])
        assert (min(channels), max(channels)) == (1, int(row["total_channels"]))
        assert clear(channels, THIRD), row


def test_sets_with_distinct_threefold_sums_are_clear_of_all(published: Published) -> None:
    """Bose-Chowla and Singer-type B3 sets: no third- or fifth-order product falls on any carrier."""
    for row in published("b3_sets"):
        assert clear(numbers(row["set"]), ALL), row


def test_numbers_of_relations_follow_from_numbers_of_products(published: Published) -> None:
    """Product counts by family, N = 2..16: each product has N - (its carriers) possible victims.

    With limits wider than everything each (product, victim) pair is in one relation; an equation stands for
    as many of these pairs as it has victims reached by that family.
    """
    for row in published("product_counts"):
        n = int(row["carriers"])
        if n > 16:
            continue
        found = list(relations(range(n), EVERYTHING))
        kinds = Counter(relation.kind for relation in found)
        triple = sum(relation.kind == "three_signal_fifth" and len(relation.left) == 1 for relation in found)
        assert 2 * kinds["two_signal_third"] == int(row["2A-B"]) * (n - 2)
        assert 4 * kinds["three_signal_third"] == int(row["A+B-C"]) * max(n - 3, 0)
        assert kinds["two_signal_fifth"] == int(row["3A-2B"]) * (n - 2)
        assert 3 * triple == int(row["3A-B-C"]) * max(n - 3, 0)
        assert 2 * (kinds["three_signal_fifth"] - triple) == int(row["2A+B-2C"]) * max(n - 3, 0)


def test_third_order_total_in_the_trade_press(published: Published) -> None:
    """prosoundweb.com, "Understanding Wireless: RF Output Power", p. 2: 2, 9, 24, 50, 90, 147 and 15,872."""
    totals = {int(row["carriers"]): int(row["third_total"]) for row in published("product_counts")}
    assert [totals[n] for n in range(2, 8)] == [2, 9, 24, 50, 90, 147]
    assert totals[32] == 15872
    assert totals[8] == 224  # the page prints 225: a misprint, N^2 (N - 1) / 2 is 224


def on_right(found: Sequence[Relation], index: int) -> int:
    return sum(any(index == at for _, at in relation.right) for relation in found)


def test_equally_spaced_carriers(published: Published) -> None:
    """Classic multi-carrier formulas for n equally spaced carriers, products on carrier r (from memory)."""
    for n in range(3, 13):
        doubles = list(relations(range(n), TWO_SIGNAL))
        triples = list(relations(range(n), THREE_SIGNAL))
        for r in range(1, n + 1):
            odd = n % 2
            expected = (n - 2 - odd * (-1) ** r) / 2
            assert on_right(doubles, r - 1) == expected
            on_itself = sum(relation.left == ((2, r - 1),) for relation in doubles)
            with_it = sum(r - 1 in (at for _, at in one.left + one.right) for one in triples)
            triple = r * (n - r + 1) / 2 + ((n - 3) ** 2 - 5) / 4 - (1 - (-1) ** n) * (-1) ** (n + r) / 8
            assert with_it + on_itself == triple
    for row in published("equally_spaced_in_block"):
        n = int(row["carriers"])
        kinds = Counter(relation.kind for relation in relations(range(n), THIRD))
        assert 2 * kinds["two_signal_third"] == int(row["2A-B"])
        assert 4 * kinds["three_signal_third"] + kinds["two_signal_third"] == int(row["A+B-C"])


def test_pairs_of_pairs_in_a_row(published: Published) -> None:
    """OEIS A002623: pairs of different pairs of equal sum in 1..n."""
    for row in published("oeis"):
        if row["sequence"] == "A002623":
            n = int(row["n"]) + 4
            assert sum(1 for _ in relations(range(1, n + 1), THREE_SIGNAL)) == int(row["value"])


def test_worked_examples_in_whole_megahertz(published: Published) -> None:
    """cstheory.stackexchange.com 47559 and prosoundweb.com "Avoiding intermod": each product, and no other.

    A carrier set on every whole MHz in turn is hit exactly where the page lists a product. (The second page
    leaves out 504 and 506 for 501, 502, 505; the table holds the full list.)
    """
    for row in published("worked_examples"):
        carriers = [1_000_000 * mhz for mhz in numbers(row["carriers_mhz"])]
        victim = len(carriers)
        hit: dict[str, set[int]] = {"2A-B": set(), "A+B-C": set(), "3A-2B": set()}
        for mhz in set(range(480, 530)) - set(numbers(row["carriers_mhz"])):
            for found in relations([*carriers, 1_000_000 * mhz], Limits(1, 1, 1, 0)):
                if found.kind == "three_signal_third":
                    hit["A+B-C"].add(mhz)
                elif (1, victim) in found.right:
                    hit["2A-B" if found.kind == "two_signal_third" else "3A-2B"].add(mhz)
        for family, products in hit.items():
            if row[family]:
                assert products == set(numbers(row[family])), (row["example"], family)


def test_worked_examples_of_two_transmitters(published: Published) -> None:
    """Canadian amateur question A-005-006-004; swiradio.org "2A minus B"; radiobanter.com 65747."""
    for row in published("worked_pairs"):
        hz = [int(row[key].replace(".", "")) * 10_000 for key in ("a_mhz", "b_mhz", "product_2a_b_mhz")]
        relation = Relation("two_signal_third", ((2, 0),), ((1, 1), (1, 2)), 0)
        assert list(relations(hz, TWO_SIGNAL)) == [relation], row["example"]


@pytest.mark.parametrize("offset", [0, 1, 49_999, 50_000])
def test_a_limit_is_strict(offset: int) -> None:
    """Exactly on the limit passes."""
    found = list(relations([500_000_000, 501_000_000, 502_000_000 + offset], Limits(50_000, 0, 0, 0)))
    assert [relation.offset_hz for relation in found] == ([offset] if offset < 50_000 else [])


def test_all_sums_of_equal_carriers_coincide() -> None:
    """Distinct means distinct indices: n equal carriers give every equation there is."""
    n = 7
    kinds = Counter(relation.kind for relation in relations([5] * n, ALL))
    fifth = n * (n - 1) * (n - 2) * (n - 3) // 2 + n * comb(n - 1, 3)
    assert kinds == {
        "two_signal_third": n * comb(n - 1, 2),
        "three_signal_third": 3 * comb(n, 4),
        "two_signal_fifth": n * (n - 1) * (n - 2),
        "three_signal_fifth": fifth,
    }


def test_carriers_must_be_whole_hertz() -> None:
    with pytest.raises(TypeError):
        relations([500_000_000.0, 1, 2], THIRD)  # type: ignore[list-item]
    with pytest.raises(ValueError, match="negative"):
        relations([1, 2, 3], Limits(1, 1, -1, 0))


def test_carriers_too_far_apart_for_64_bits_stay_exact() -> None:
    carriers = [10**40 * mark for mark in (0, 1, 3, 7, 12, 20)] + [10**40 * 6 + 1]
    assert not join.fits(carriers)
    found = list(relations(carriers * 20, Limits(2, 0, 0, 0)))
    assert {relation.offset_hz for relation in found} == {0, 1}


def test_small_sets_do_not_load_numpy() -> None:
    """Start-up is paid on every commit: the plain join has no need of numpy."""
    code = (
        "import sys; from planlint.rf.intermodulation import Limits, relations;"
        "found = list(relations(range(40), Limits(1, 1, 1, 0)));"
        "print(len(found) > 0, 'numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["True", "False"]
