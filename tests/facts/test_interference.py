"""C/I estimates: the slopes of intercept algebra, hand sums, and what assumptions may do.

Slopes: a product of order n of equal changes moves n dB per dB (intercept algebra, closed form; textbook form
"Pout = 3 Pin - 2 IIP3", read in a public copy), so C/I moves n - 1 dB the other way.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.facts import Facts
from planlint.facts.interference import Interference
from tests.plans import facts_of

PLAN = """\
plan_format: 1
kind: plan
policy: {{intermod_khz: {{two_signal_third: 100, three_signal_third: 100, two_signal_fifth: 100, three_signal_fifth: 100}}}}
models:
  tx: {{role: ear-transmitter, emission_khz: 200, powers_mw: [1], power_basis: conducted, oip3_dbm: 33, oip5_dbm: 29}}
  pk: {{role: ear-pack, own_antenna_gain_dbi: 0, iip3_dbm: {iip3}, iip5_dbm: {iip5}, noise_figure_db: 8, needs_ci_db: {{stereo: 25}}}}
  cmb: {{role: combiner, active: true, ways: 4, loss_db: 1, isolation_db: {isolation}}}
devices: {{CMB: {{model: cmb}}, {devices}}}
antennas: {{out: {{for: ear, through: CMB, coax: {{length_m: 0}}, gain_dbi: 5}}}}
pack_defaults: {{decodes: stereo}}
people: {{p: {{does: singer}}}}
links:
{links}
reach: {{default_m: 10}}
"""
THIRD_TWO = {"a": 500_000, "b": 501_000, "c": 502_000}  # 2b = a + c
THIRD_THREE = {"a": 500_000, "b": 501_000, "c": 503_000, "d": 504_000}  # a + d = b + c
FIFTH_TWO = {"a": 500_000, "b": 502_000, "c": 496_000}  # 3a = 2b + c


def facts(
    folder: Path, carriers: dict[str, int], powers: dict[str, float], isolation: float = 40, intercepts: float = 0
) -> Facts:
    names = sorted(carriers)
    return facts_of(
        folder,
        PLAN.format(
            isolation=isolation,
            iip3=-8 + intercepts,
            iip5=-10 + intercepts,
            devices=", ".join(f"T{n}: {{model: tx, into: CMB}}, P{n}: {{model: pk}}" for n in names),
            links="\n".join(
                f"  {n}: {{kind: ear, tx: T{n}, packs: {{P{n}: {{person: p}}}}, carrier_mhz: {carriers[n] / 1000:.3f}, "
                f"power_mw: {powers[n]:.6f}}}"
                for n in names
            ),
        ),
    )


def ci(found: Facts, text: str, victim: str) -> float:
    (relation,) = [named for named in found.relations if named.text == text]
    return found.interference.at(relation, victim).ci_db


def mw(dbm: float) -> float:
    return float(10 ** (dbm / 10))


@pytest.mark.parametrize(
    ("carriers", "text", "order"),
    [
        (THIRD_TWO, "2*b = a + c", 3),
        (THIRD_THREE, "a + d = b + c", 3),
        (FIFTH_TWO, "3*a = 2*b + c", 5),
    ],
)
@pytest.mark.parametrize(("isolation", "intercepts"), [(40, 60), (40, -20), (5, 60)])
def test_every_transmitter_1_db_down(
    tmp_path: Path, carriers: dict[str, int], text: str, order: int, isolation: float, intercepts: float
) -> None:
    usual = facts(tmp_path, carriers, dict.fromkeys(carriers, mw(10)), isolation, intercepts)
    before = {name: ci(usual, text, name) for name in carriers}
    lower = facts(tmp_path, carriers, dict.fromkeys(carriers, mw(9)), isolation, intercepts)
    for name in carriers:
        assert ci(lower, text, name) - before[name] == pytest.approx(order - 1, abs=1e-4)


def test_one_transmitter_alone_has_its_own_exponents(tmp_path: Path) -> None:
    """2b - a on c, made in c's own receiver: b 1 dB down takes 2 dB off, a 1 dB down 1 dB, c 1 dB down loses 1 dB."""
    level = dict.fromkeys("abc", 10.0)
    usual = ci(facts(tmp_path, THIRD_TWO, {k: mw(v) for k, v in level.items()}, 60, -20), "2*b = a + c", "c")
    for name, change in (("b", 2.0), ("a", 1.0), ("c", -1.0)):
        powers = {key: mw(value - (key == name)) for key, value in level.items()}
        assert ci(facts(tmp_path, THIRD_TWO, powers, 60, -20), "2*b = a + c", "c") - usual == pytest.approx(
            change, abs=1e-4
        )


def test_three_signals_are_6_db_worse_than_two(tmp_path: Path) -> None:
    """+6.02 dB for three-signal products (microwavejournal.com article 3377, read in a public copy), made in a receiver."""
    two = ci(facts(tmp_path, THIRD_TWO, dict.fromkeys("abc", 10.0), 80, -20), "2*b = a + c", "c")
    three = ci(facts(tmp_path, THIRD_THREE, dict.fromkeys("abcd", 10.0), 80, -20), "a + d = b + c", "d")
    assert two - three == pytest.approx(6.02, abs=0.15), "path losses differ a little between 502 and 504 MHz"


def test_a_hand_sum_through_the_combiner(tmp_path: Path) -> None:
    """10 dBm each, isolation 40 dB, OIP3 33 dBm. The strongest product 2b - a is made in b's stage: b arrives at
    10, a at -30 dBm, so 2 * 10 - 30 - 2 * 33 = -76 dBm at b's socket. It leaves as b does, so C/I on c is 10 + 76 = 86."""
    found = facts(tmp_path, THIRD_TWO, dict.fromkeys("abc", 10.0), 40, 60)
    assert ci(found, "2*b = a + c", "c") == pytest.approx(86, abs=0.05)
    assert found.interference.at(found.relations[0], "c").made_in == "b"


def test_more_isolation_is_never_worse(tmp_path: Path) -> None:
    values = [
        ci(facts(tmp_path, THIRD_TWO, dict.fromkeys("abc", 10.0), db, 60), "2*b = a + c", "c")
        for db in (10, 20, 30, 40)
    ]
    assert values == sorted(values)


def test_assumed_intercepts_are_named_and_move_with_the_shift(tmp_path: Path) -> None:
    text = PLAN.replace(", oip3_dbm: 33, oip5_dbm: 29", "").replace("iip3_dbm: {iip3}, iip5_dbm: {iip5}, ", "")
    found = facts_of(
        tmp_path,
        text.format(
            isolation=40,
            devices=", ".join(f"T{n}: {{model: tx, into: CMB}}, P{n}: {{model: pk}}" for n in "abc"),
            links="\n".join(
                f"  {n}: {{kind: ear, tx: T{n}, packs: {{P{n}: {{person: p}}}}, carrier_mhz: {f / 1000}, power_mw: 10}}"
                for n, f in THIRD_TWO.items()
            ),
        ),
    )
    usual = found.interference.worst(found.relations[0])
    assert usual is not None
    assert any("IP3" in words for words in usual.assumed)
    for shift in (-10.0, 10.0):
        moved = Interference(found.plan, found, shift).worst(found.relations[0])
        assert moved is not None
        assert moved.ci_db - usual.ci_db == pytest.approx(2 * shift, abs=1e-6)


@pytest.mark.parametrize(
    ("apart", "wall", "more_db"), [(40, 0, 0.0), (80, 0, 6.02), (160, 0, 12.04), (40, 10, 10.0), (80, 7.5, 13.52)]
)
def test_products_of_another_stage_fall_with_its_distance(
    tmp_path: Path, apart: float, wall: float, more_db: float
) -> None:
    """Two carriers of another stage make 2A - B on ours, in their own transmitters; it crosses once.

    Free space, ITU-R P.525: 20 lg of the ratio of the distances; walls as written.
    """

    def ratio(metres: float, db: float) -> float:
        text = f"""plan_format: 1
kind: plan
devices: {{HH-1: {{}}}}
links: {{m: {{kind: mic, mic: HH-1, carrier_mhz: 560.000, power_mw: 10}}}}
spectrum: {{others_on_air: {{a: {{carrier_mhz: 561.000, power_mw: 10}}, b: {{carrier_mhz: 562.000, power_mw: 10}}}}}}
stages: {{main: {{}}, barn: {{apart_m: {{main: {metres}}}, wall_db: {db}}}}}
acts: {{us: {{stage: main, holds: [m], at: "20:00", until: "21:00"}}, r: {{stage: barn, holds: [a, b], at: "20:00", until: "21:00"}}}}
"""
        facts = facts_of(tmp_path, text)
        (relation,) = facts.relations
        return facts.interference.at(relation, "m").ci_db

    assert ratio(apart, wall) - ratio(40, 0) == pytest.approx(more_db, abs=0.01)
