"""The smallest repair against trying everything, on random small plans; every proposal checked again from the contract.

The oracle imports nothing of the engine: it knows the plan as plain numbers, the contract's rulings on law, TV and
spacing as stated beside each line, and the relations from the brute force of tests/facts/test_relations.py.
"""

from __future__ import annotations

import random
import tempfile
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

import pytest

from planlint.assign.proposal import Proposal
from planlint.assign.repair import Repair
from tests.assign.raster.by_definition import Links, wrong_with
from tests.facts.test_relations import Setup, oracle
from tests.plans import facts_of

STEP = 100
TV = (566_000, 572_000)  # TV 30: 47 CFR 73.603(a)
GUARD = 100
WIDTH = 200


class Small(NamedTuple):
    """A random plan in kHz: what the units tune, carriers (None: auto), packs, pins, limits, who else is on."""

    tunes: tuple[int, int]
    links: dict[str, int | None]
    packs: dict[str, int]
    pinned: frozenset[str]
    limits: dict[str, int]
    others: dict[str, int]


def text_of(small: Small) -> str:
    low, high = small.tunes
    third = {key: khz for key, khz in small.limits.items() if key != "ear_to_ear"}
    apart = f"spacing_khz: {{ear_to_ear: {small.limits['ear_to_ear']}}}, " if "ear_to_ear" in small.limits else ""
    lines = [
        "plan_format: 1", "kind: plan", "show: {region: us}",
        f"policy: {{{apart}intermod_khz: {{{', '.join(f'{k}: {v}' for k, v in third.items())}}}}}",
        "models:",
        f"  t: {{role: ear-transmitter, tuning_mhz: [{{low: {low / 1000:.3f}, high: {high / 1000:.3f}}}], step_khz: {STEP}, emission_khz: {WIDTH}}}",
        f"  p: {{role: ear-pack, tuning_mhz: [{{low: {low / 1000:.3f}, high: {high / 1000:.3f}}}], step_khz: {STEP}}}",
        "devices:",
    ]  # fmt: skip
    for name, packs in small.packs.items():
        lines.append(f"  T{name}: {{model: t}}")
        lines += [f"  P{name}{n}: {{model: p}}" for n in range(packs)]
    lines.append("spectrum:\n  tv_occupied: [30]")
    if small.others:
        lines.append("  others_on_air:")
        lines += [
            f"    {name}: {{carrier_mhz: {theirs / 1000:.3f}, emission_khz: {WIDTH}, kind: comms}}"
            for name, theirs in small.others.items()
        ]
    lines.append("links:")
    for name, own in small.links.items():
        worn = ", ".join(f"P{name}{n}: {{}}" for n in range(small.packs[name]))
        carrier = "auto" if own is None else f"{own / 1000:.3f}"
        own_carrier = "" if name in small.pinned else f"carrier_mhz: {carrier}, "
        lines.append(f"  {name}: {{kind: ear, tx: T{name}, {own_carrier}packs: {{{worn}}}}}")
    lines += ["carriers:"] if small.pinned else []
    lines += [
        f"  {name}: {{carrier_mhz: {(small.links[name] or 0) / 1000:.3f}, pinned: the act asks for it}}"
        for name in sorted(small.pinned)
    ]
    return "\n".join(lines) + "\n"


def alone(small: Small, khz: int) -> bool:
    """Whether one carrier is allowed: tuned, on a step, clear of live TV 30 and its guard, clear of others."""
    low, high = small.tunes
    half = WIDTH // 2
    tuned = low <= khz <= high and (khz - low) % STEP == 0
    clear = khz + half <= TV[0] - GUARD or khz - half >= TV[1] + GUARD
    return tuned and clear and all(abs(khz - theirs) >= WIDTH for theirs in small.others.values())


def faults(small: Small, carriers: dict[str, int], moved: set[str]) -> list[object]:
    """Everything wrong that a link which may move, or was moved, takes part in."""
    found: list[object] = [name for name in carriers if not alone(small, carriers[name])]
    for first, second in combinations(sorted(carriers), 2):  # like kinds: 2B apart
        if abs(carriers[first] - carriers[second]) < small.limits.get("ear_to_ear", 2 * WIDTH):
            found.append((first, second))
    widths = dict.fromkeys([*carriers, *small.others], WIDTH)
    setup = Setup(carriers, small.others, widths, small.limits, [])
    found += list(oracle(setup, [frozenset(widths)]))
    return found


def random_plan(seed: int) -> Small:
    rng = random.Random(seed)
    size = rng.choice([3, 4, 4])
    low = rng.choice([562_000, 571_900, 572_200])
    tunes = (low, low + STEP * rng.choice([16, 24, 36]))
    grid = range(tunes[0], tunes[1] + 1, STEP)
    names = [f"e{n}" for n in range(size)]
    links: dict[str, int | None] = {name: rng.choice(grid) for name in names}
    if rng.random() < 0.3:
        links[rng.choice(names)] = None
    others = {"crew": rng.choice(grid)} if rng.random() < 0.5 else {}
    limits = {"three_signal_fifth": rng.choice([0, 25]), "two_signal_third": rng.choice([50, 100])}
    packs = {name: rng.choice([0, 1, 1, 2]) for name in names}
    return Small(tunes, links, packs, frozenset(), limits, others)


@pytest.mark.parametrize("seed", range(60))
def test_touches_are_the_fewest(seed: int) -> None:
    small = random_plan(seed)
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text_of(small))
    found = Repair(facts).run()
    wanted = least_touches(small)
    if wanted is None:
        assert found.unfit
        assert not found.moves
        return
    assert not found.unfit
    assert (found.weight, found.bound) == (wanted, wanted)
    after = {name: khz for name, khz in small.links.items() if khz is not None}
    after |= {move.link: move.new_hz // 1000 for move in found.moves}
    assert after.keys() == small.links.keys()
    assert not faults(small, after, set())


def larger_plan(seed: int) -> Small:
    """10 to 16 links over 40 MHz with the format's own limits, and a guest on the air."""
    rng = random.Random(f"larger {seed}")
    tunes = (545_000, 545_000 + STEP * 400)
    grid = range(tunes[0], tunes[1] + 1, STEP)
    names = [f"e{n:02}" for n in range(rng.randint(10, 16))]
    links: dict[str, int | None] = dict(zip(names, rng.sample(grid, len(names)), strict=True))
    links[names[3]] = None
    packs = {name: rng.choice([1, 1, 2, 3]) for name in names}
    pinned = frozenset(rng.sample(names[4:], 2))
    return Small(tunes, links, packs, pinned, {}, {"crew": rng.choice(grid) + 25})


@pytest.mark.parametrize("seed", range(8))
def test_touches_are_the_fewest_for_ten_to_sixteen_links(seed: int) -> None:
    """The same against the oracle for large plans, which knows the plan as plain numbers too."""
    small = larger_plan(seed)
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), text_of(small))
    found = Repair(facts, margins=False).run()
    names = [*small.links, *small.others]
    grid = [khz for khz in range(small.tunes[0], small.tunes[1] + 1, STEP) if alone(small, khz)]
    guards = (WIDTH // 2, WIDTH // 4, WIDTH // 4, 0)  # two- and three-signal third, two-signal fifth: B/2, B/4, B/4
    ours = [name in small.links for name in names]
    links = Links(
        [small.links.get(name, small.others.get(name)) for name in names],
        [grid if name in small.links else [] for name in names],
        [1 + small.packs.get(name, 0) for name in names],
        [guards] * len(names),
        [[2 * WIDTH if one and two else WIDTH for two in ours] for one in ours],
        [name in small.pinned or name in small.others for name in names],
        ours,
        [frozenset(range(len(names)))],
    )
    wanted = links.cheapest()
    assert wanted is not None
    assert (found.weight, found.bound) == (wanted, wanted)
    after = {at: carrier for at, carrier in enumerate(links.carriers) if carrier is not None}
    after |= {names.index(move.link): move.new_hz // 1000 for move in found.moves}
    stay = {at for at, stays in enumerate(links.stays) if stays}
    assert all(who <= stay for who, _ in wrong_with(links, after))
    assert all(alone(small, after[names.index(name)]) for name in small.links if name not in small.pinned)


def least_touches(small: Small) -> int | None:
    """The fewest touches of any repair, by trying every set of links and every carrier; None where none does."""
    grid = [khz for khz in range(small.tunes[0], small.tunes[1] + 1, STEP) if alone(small, khz)]
    sets = sorted(
        (set(some) for size in range(len(small.links) + 1) for some in combinations(small.links, size)),
        key=lambda some: sum(1 + small.packs[name] for name in some),
    )
    for some in sets:
        kept = {name: khz for name, khz in small.links.items() if name not in some and khz is not None}
        whole = len(kept) + len(some) == len(small.links)
        if whole and not faults(small, kept, some) and _place(small, kept, sorted(some), grid):
            return sum(1 + small.packs[name] for name in some)
    return None


def _place(small: Small, kept: dict[str, int], order: list[str], grid: list[int]) -> bool:
    if not order:
        return True
    return any(
        not faults(small, {**kept, order[0]: khz}, set()) and _place(small, {**kept, order[0]: khz}, order[1:], grid)
        for khz in grid
    )


def _margin(small: Small, carriers: dict[str, int], moved: set[str]) -> Fraction:
    """How far the nearest thing that a moved link takes part in is past its limit, in kHz; brute force."""
    names = [*carriers, *small.others]
    widths = dict.fromkeys(names, WIDTH)
    wide = dict.fromkeys(("two_signal_third", "three_signal_third", "two_signal_fifth", "three_signal_fifth"), 10000)
    own = {
        "two_signal_third": 100,
        "three_signal_third": 50,
        "two_signal_fifth": 50,
        "three_signal_fifth": 0,
    } | small.limits
    margins = []
    for kind, text, offset, _ in oracle(Setup(carriers, small.others, widths, wide, []), [frozenset(names)]):
        if moved & set(text.replace("*", " ").split()) and own[kind]:
            margins.append(Fraction(offset) - own[kind])
    for first, second in combinations(names, 2):
        if moved & {first, second}:
            limit = WIDTH if {first, second} & set(small.others) else 2 * WIDTH
            margins.append(
                Fraction(abs({**carriers, **small.others}[first] - {**carriers, **small.others}[second]) - limit)
            )
    return min(margins)


def _one_move(seed: int) -> tuple[Small, Proposal]:
    """A random plan of four links of which one has to move."""
    rng = random.Random(seed)
    tunes = (572_200, 572_200 + STEP * 45)
    while True:
        links: dict[str, int | None] = {f"e{n}": rng.choice(range(tunes[0], tunes[1] + 1, STEP)) for n in range(4)}
        limits = {"three_signal_fifth": 0, "two_signal_third": 100}
        small = Small(tunes, links, dict.fromkeys(links, 1), frozenset(), limits, {})
        with tempfile.TemporaryDirectory() as folder:
            found = Repair(facts_of(Path(folder), text_of(small))).run()
        if len(found.moves) == 1:
            return small, found


@pytest.mark.parametrize("seed", range(12))
def test_the_worst_margin_is_the_largest_among_equals(seed: int) -> None:
    small, found = _one_move(seed)
    links, grid = small.links, range(small.tunes[0], small.tunes[1] + 1, STEP)
    best: Fraction | None = None
    for name in links:
        kept = {other: khz for other, khz in links.items() if other != name and khz is not None}
        if faults(small, kept, set()):
            continue
        for khz in grid:
            if alone(small, khz) and not faults(small, {**kept, name: khz}, {name}):
                margin = _margin(small, {**kept, name: khz}, {name})
                best = margin if best is None else max(best, margin)
    assert best is not None
    assert found.margin_proven
    assert found.margin_hz is not None
    assert Fraction(found.margin_hz, 1000) == best


def test_pinned_links_never_move(tmp_path: Path) -> None:
    small = Small((572_200, 576_000), {"a": 573_000, "b": 573_100}, {"a": 0, "b": 3}, frozenset("a"), {}, {})
    found = Repair(facts_of(tmp_path, text_of(small))).run()
    assert [move.link for move in found.moves] == ["b"]
    both = small._replace(pinned=frozenset("ab"))
    (tmp_path / "two").mkdir()
    stuck = Repair(facts_of(tmp_path / "two", text_of(both))).run()
    assert not stuck.moves
    assert [clash.ids for clash in stuck.left] == [("a", "b")]


@pytest.mark.parametrize("top", [572_500, 572_900, 573_000])
def test_when_nothing_fits_it_says_what_must_give(top: int, tmp_path: Path) -> None:
    links: dict[str, int | None] = {"a": 572_200, "b": 572_300, "c": None}
    small = Small((572_200, top), links, dict.fromkeys("abc", 1), frozenset(), {}, {})
    assert least_touches(small) is None
    found = Repair(facts_of(tmp_path, text_of(small))).run()
    assert found.unfit == ("a", "b", "c")
    assert not found.moves
    assert [one.what for one in found.give_up] != [] or top == 572_500
    for one in found.give_up:
        limit = int(Fraction(one.then.removesuffix(" kHz")))
        given = small._replace(limits={one.what.rpartition(".")[2]: limit})
        assert least_touches(given) is not None, one


def test_a_spacing_that_must_give_is_named_with_its_number(tmp_path: Path) -> None:
    small = Small((572_200, 572_500), {"a": 572_200, "b": None}, {"a": 1, "b": 1}, frozenset(), {}, {})
    found = Repair(facts_of(tmp_path, text_of(small))).run()
    assert found.unfit
    assert [(one.what, one.now, one.then) for one in found.give_up] == [
        ("policy.spacing_khz.ear_to_ear", "400 kHz", "300 kHz")
    ]


def test_an_interrupt_gives_the_best_so_far(tmp_path: Path) -> None:
    def stop(text: str) -> None:
        if "would do" in text:
            raise KeyboardInterrupt

    small = Small((572_200, 576_000), {"a": 573_000, "b": 573_100}, {"a": 1, "b": 1}, frozenset(), {}, {})
    found = Repair(facts_of(tmp_path, text_of(small)), progress=stop).run()
    assert found.out_of_time
    assert not found.margin_proven
    assert (len(found.moves), found.weight, found.bound) == (1, 2, 2)


def test_a_waived_clash_does_not_move_anybody(tmp_path: Path) -> None:
    small = Small(
        (572_200, 576_000), {"a": 573_000, "b": 573_100, "c": None}, dict.fromkeys("abc", 1), frozenset(), {}, {}
    )
    facts = facts_of(tmp_path, text_of(small))
    accepted = [("spacing-too-close", frozenset({"a", "b", "Ta"}))]
    assert [move.link for move in Repair(facts, accepted=accepted).run().moves] == ["c"]
    assert len(Repair(facts).run().moves) == 2


BOXED = """\
plan_format: 1
kind: plan
show: {{region: us}}
models:
  t: {{role: ear-transmitter, emission_khz: 200, tuning_mhz: [{{low: 505.000, high: {top}}}], step_khz: 25}}
  box: {{role: combiner, active: false, ways: 3, loss_db: 3.5, isolation_db: {isolation}}}
devices: {{C: {{model: box}}, A: {{model: t, into: C}}, B: {{model: t, into: C}}, D: {{model: t}}}}
links:
  a: {{kind: ear, tx: A, carrier_mhz: 505.300}}
  b: {{kind: ear, tx: B, carrier_mhz: {b}}}
  d: {{kind: ear, tx: D, carrier_mhz: {d}}}
"""


@pytest.mark.parametrize(
    ("isolation", "top", "moved"), [(20, "506.100", ["b"]), (20, "506.075", ["a", "b"]), (30, "505.700", ["b"])]
)
def test_through_a_combiner_of_low_isolation_twice_the_spacing(
    isolation: int, top: str, moved: list[str], tmp_path: Path
) -> None:
    """Like kinds of 200 kHz keep 400 kHz, through 20 dB of isolation 800: the rule combiner-close-pair."""
    text = BOXED.format(isolation=isolation, top=top, b="auto", d="auto").replace("  d:", "  # d:")
    found = Repair(facts_of(tmp_path, text)).run()
    assert [move.link for move in found.moves] == moved


def test_a_close_pair_in_a_combiner_is_no_reason_to_move(tmp_path: Path) -> None:
    text = BOXED.format(isolation=20, top="520.000", b="505.800", d="auto")
    found = Repair(facts_of(tmp_path, text)).run()
    assert [move.link for move in found.moves] == ["d"]
    assert found.proven


SHARED = """\
plan_format: 1
kind: plan
show: {{region: us}}
models:
  w: {{role: ear-transmitter, tuning_mhz: [{{low: 500.000, high: 520.000}}], step_khz: 25, modes: {{two: {{carries_links: 2, emission_khz: 200}}}}}}
  t: {{role: ear-transmitter, emission_khz: 200, tuning_mhz: [{{low: 500.000, high: 520.000}}], step_khz: 25}}
  p: {{role: ear-pack, tuning_mhz: [{{low: 505.000, high: 520.000}}], step_khz: 25}}
  q: {{role: ear-pack, tuning_mhz: [{{low: 500.000, high: 512.000}}], step_khz: 25}}
devices: {{W: {{model: w}}, T: {{model: t}}, P1: {{model: p}}, P2: {{model: q}}, P3: {{model: p}}}}
links:
  a: {{kind: ear, tx: W, mode: two, wide_emission: BOTH, carrier_mhz: {a}, packs: {{P1: {{}}}}}}
  b: {{kind: ear, tx: W, mode: two, wide_emission: BOTH, carrier_mhz: {b}, packs: {{P2: {{}}}}}}
  c: {{kind: ear, tx: T, carrier_mhz: 506.000, packs: {{P3: {{}}}}}}
"""


@pytest.mark.parametrize(
    ("a", "b", "moved", "touches"),
    [
        ("auto", "auto", ["a", "b"], 3),  # W, P1, P2: the transmitter is one unit
        ("515.000", "515.000", ["a", "b"], 3),  # P2 ends at 512
        ("506.150", "506.150", ["c"], 2),  # nearer than half of both emissions; c is cheaper than the three
        ("508.000", "auto", ["b"], 1),  # takes the carrier of the emission it is in: W is on it already
        ("auto", "508.000", ["a"], 1),
        ("508.000", "508.000", [], 0),
    ],
)
def test_links_of_one_emission_move_together(a: str, b: str, moved: list[str], touches: int, tmp_path: Path) -> None:
    found = Repair(facts_of(tmp_path, SHARED.format(a=a, b=b))).run()
    assert [move.link for move in found.moves] == moved
    assert found.weight == found.bound == touches
    assert found.proven
    new = {move.new_hz for move in found.moves if move.link in {"a", "b"}}
    assert len(new) <= 1
    assert all(505_000_000 <= carrier <= 512_000_000 for carrier in new)
