"""The relation list of a plan against a definition-level brute force, written from the contract's equations.

The oracle imports nothing of the engine: itertools over ids, integers, the contract's table of equations and
limits. Source of the equations: W. C. Babcock, Bell System Technical Journal 32 (1953).
"""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import combinations, permutations
from pathlib import Path
from typing import NamedTuple

from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.plans import facts_of

Row = tuple[str, str, Decimal, Decimal]


class Setup(NamedTuple):
    """A random plan: carriers in kHz of links, of others, widths, written limits, on-air lists."""

    links: dict[str, int]
    others: dict[str, int]
    widths: dict[str, int]
    limits: dict[str, int]
    shows: list[list[str]]


def oracle(setup: Setup, sets: Iterable[frozenset[str]]) -> Counter[Row]:
    """Every relation straight from the contract's table, once, as (rule, text, offset, limit) in kHz."""
    carriers = {**setup.links, **setup.others}
    found: dict[tuple[str, str], Row] = {}
    for ids in sets:
        for kind, text, members, offset in _products(sorted(ids & carriers.keys()), carriers):
            widest = max(setup.widths.get(name, 200) for name in members)
            limit = _limit(setup, kind, widest)
            if offset < limit and any(name in setup.links for name in members):
                found[kind, text] = (kind, text, Decimal(offset), limit)
    return Counter(found.values())


def _limit(setup: Setup, kind: str, widest: int) -> Decimal:
    if kind in setup.limits:
        return Decimal(setup.limits[kind])
    share = {"two_signal_third": 2, "three_signal_third": 4, "two_signal_fifth": 4}.get(kind)
    return Decimal(widest) / share if share else Decimal(0)


def _products(ids: list[str], f: dict[str, int]) -> Iterator[tuple[str, str, tuple[str, ...], int]]:
    for a in ids:
        for b, c in combinations([x for x in ids if x != a], 2):
            yield "two_signal_third", f"2*{a} = {b} + {c}", (a, b, c), abs(2 * f[a] - f[b] - f[c])
    for a, b, c, d in combinations(ids, 4):
        for left, right in (((a, b), (c, d)), ((a, c), (b, d)), ((a, d), (b, c))):
            text = f"{left[0]} + {left[1]} = {right[0]} + {right[1]}"
            yield "three_signal_third", text, (a, b, c, d), abs(sum(f[x] for x in left) - sum(f[x] for x in right))
    for a, b, c in permutations(ids, 3):
        yield "two_signal_fifth", f"3*{a} = 2*{b} + {c}", (a, b, c), abs(3 * f[a] - 2 * f[b] - f[c])
    for a, b, c, d in permutations(ids, 4):
        if min(a, b) < min(c, d):
            text = f"2*{a} + {b} = 2*{c} + {d}"
            yield "three_signal_fifth", text, (a, b, c, d), abs(2 * f[a] + f[b] - 2 * f[c] - f[d])
    for a in ids:
        for b, c, d in combinations([x for x in ids if x != a], 3):
            text = f"3*{a} = {b} + {c} + {d}"
            yield "three_signal_fifth", text, (a, b, c, d), abs(3 * f[a] - f[b] - f[c] - f[d])


def text_of(setup: Setup) -> str:
    lines = ["plan_format: 1", "kind: plan"]
    if setup.limits:
        written = ", ".join(f"{kind}: {limit}" for kind, limit in sorted(setup.limits.items()))
        lines.append(f"policy: {{intermod_khz: {{{written}}}}}")
    lines.append("models:")
    lines += [
        f"  w{width}: {{role: ear-transmitter, emission_khz: {width}}}" for width in sorted(set(setup.widths.values()))
    ] or ["  none: {role: other}"]
    lines.append("devices:")
    lines += [f"  T{name}: {{model: w{setup.widths[name]}}}" for name in sorted(setup.links)]
    lines.append("links:")
    lines += [
        f"  {name}: {{kind: ear, tx: T{name}, carrier_mhz: {khz / 1000:.3f}}}"
        for name, khz in sorted(setup.links.items())
    ]
    if setup.others:
        lines.append("spectrum:\n  others_on_air:")
        lines += [
            f"    {name}: {{carrier_mhz: {khz / 1000:.3f}, emission_khz: {setup.widths[name]}, kind: comms}}"
            for name, khz in sorted(setup.others.items())
        ]
    if setup.shows:
        lines.append("day:")
        for hour, ids in enumerate(setup.shows, 10):
            lines.append(f'  - {{what: act, at: "{hour}:00", until: "{hour}:30", on_air: [{", ".join(ids)}]}}')
    return "\n".join(lines) + "\n"


def sets_of(setup: Setup) -> list[frozenset[str]]:
    everyone = frozenset({**setup.links, **setup.others})
    if not setup.shows:
        return [everyone]
    named = frozenset(name for show in setup.shows for name in show)
    always = everyone - named
    return [always | frozenset(show) for show in setup.shows]


@st.composite
def setups(draw: st.DrawFn) -> Setup:
    size = draw(st.integers(3, 8))
    step = draw(st.sampled_from([25, 5, 125]))
    span = draw(st.sampled_from([12, 40, 400]))
    carriers = [500_000 + step * n for n in draw(st.lists(st.integers(0, span), min_size=size, max_size=size))]
    names = draw(st.permutations([f"e{n}" for n in range(5)] + ["E-1", "a.b", "x_1"]))[:size]
    number_of_others = draw(st.integers(0, 2))
    widths = {name: draw(st.sampled_from([150, 200, 333])) for name in names}
    kinds = ["two_signal_third", "three_signal_third", "two_signal_fifth", "three_signal_fifth"]
    limits = {kind: draw(st.sampled_from([0, 25, 100, 325])) for kind in kinds if draw(st.booleans())}
    together = dict(zip(names, carriers, strict=True))
    others = dict(list(together.items())[:number_of_others])
    links = {name: khz for name, khz in together.items() if name not in others}
    shows = draw(st.lists(st.lists(st.sampled_from(names), min_size=1, unique=True), max_size=3))
    return Setup(links, others, widths, limits, shows)


_DENSE = Setup(
    {f"e{n}": 500_000 + 25 * n for n in range(8)}, {}, {f"e{n}": 200 for n in range(8)}, {"three_signal_fifth": 50}, []
)
_AT_LIMIT = Setup(
    {"a": 500_000, "b": 500_350, "c": 500_800}, {}, dict.fromkeys("abc", 200), {"two_signal_third": 100}, []
)


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(setups())
@example(_DENSE)
@example(_AT_LIMIT)
def test_relations_equal_the_definition(setup: Setup) -> None:
    with tempfile.TemporaryDirectory() as folder:
        found = facts_of(Path(folder), text_of(setup)).relations
    told: Counter[Row] = Counter(
        (named.kind, named.text, Decimal(named.offset_hz) / 1000, Decimal(named.limit_hz) / 1000) for named in found
    )
    assert told == oracle(setup, sets_of(setup))


def test_a_limit_met_exactly_passes() -> None:
    assert oracle(_AT_LIMIT, sets_of(_AT_LIMIT)) == Counter()
    nearer = _AT_LIMIT._replace(links={"a": 500_000, "b": 500_350, "c": 500_799})
    assert list(oracle(nearer, sets_of(nearer))) == [("two_signal_third", "2*b = a + c", Decimal(99), Decimal(100))]
