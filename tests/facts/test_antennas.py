"""Ports, cables, distances and DC along real chains, against closed forms, published losses and completeness.

Sources: 10 log10 N, free space by ITU-R P.525 (pycraf as second opinion stands in tests/rf); 250 mW three metres away
between dipoles arrives at about -8 dBm (computed from 22 + 20 log10(d / lambda) less both gains); coax: `planlint.rf.coax`.
"""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import pytest

from planlint.facts.antennas import apart, links_on, serves, uses
from planlint.facts.dc import along
from planlint.facts.ports import arriving
from planlint.finding import Finding
from tests.plans import plan_of
from tests.rules.case_files import run

HEAD = "plan_format: 1\nkind: plan\n"


def found(text: str, folder: Path, rule: str) -> list[Finding]:
    return [finding for finding in run(HEAD + text, folder).findings if finding.rule == rule]


def chain(ways: int, loss_db: float, count: int, power_mw: float) -> str:
    units = "".join(f"  T{index}: {{model: tx, into: A}}\n" for index in range(count))
    links = "".join(
        f"  l{index}: {{kind: ear, tx: T{index}, carrier_mhz: {500 + index}.000, power_mw: {power_mw}}}\n"
        for index in range(count)
    )
    return (
        f"models:\n  tx: {{role: ear-transmitter, power_basis: conducted}}\n"
        f"  box: {{role: combiner, active: false, ways: {ways}, loss_db: {loss_db}}}\n"
        f"devices:\n{units}  A: {{model: box, into: B}}\n  B: {{model: box}}\nlinks:\n{links}"
    )


@pytest.mark.parametrize("ways", [2, 4, 8])
def test_a_full_passive_combiner_gives_one_share_of_each(ways: int, tmp_path: Path) -> None:
    """N transmitters of P through an ideal N-way leave N x P / N = P in all (closed form)."""
    loss = 10 * math.log10(ways)
    plan = plan_of(tmp_path, HEAD + chain(ways, round(loss, 6), ways, 30))
    through = arriving(plan, "A")
    assert through.low_mw == through.high_mw == pytest.approx(30, rel=1e-5)
    assert through.links == tuple(f"l{index}" for index in range(ways))
    assert arriving(plan, "T0").low_mw == pytest.approx(30)


def test_an_unknown_loss_leaves_bounds(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, HEAD + chain(2, 3, 2, 30).replace(", loss_db: 3", ""))
    through = arriving(plan, "A")
    assert through.low_mw == 0
    assert through.high_mw == pytest.approx(60)
    assert through.needs == ("/models/box/loss_db",)


def test_a_combiner_in_a_ring_ends(tmp_path: Path) -> None:
    text = "models: {box: {role: combiner, ways: 4, loss_db: 0}}\ndevices: {A: {model: box, into: B}, B: {model: box, into: A}}\n"
    assert arriving(plan_of(tmp_path, HEAD + text), "A").low_mw == 0


def test_level_between_neighbouring_antennas(tmp_path: Path) -> None:
    """250 mW into a dipole: 24 + 2.15 dBm EIRP, 36.5 dB over 3 m at 530 MHz; plus a dipole's gain, about -8 dBm."""
    (fault,) = found(
        "models: {tx: {role: ear-transmitter, power_basis: conducted}}\ndevices: {T: {model: tx, into: e}}\n"
        "antennas: {e: {for: ear, gain_dbi: 2.15, coax: {loss_db: 0}}, m: {for: mic}}\napart_m: {e: {m: 2.999}}\n"
        "links: {vox: {kind: ear, tx: T, carrier_mhz: 530.000, power_mw: 250}}\n",
        tmp_path,
        "ear-and-mic-antennas-close",
    )
    level = float(fault.values["level_dbm"])
    lam = 299.792458 / 530
    by_hand = 10 * math.log10(250) + 2.15 - (22 + 20 * math.log10(3 / lam))
    assert level == pytest.approx(by_hand, abs=0.1)
    assert level + 2.15 == pytest.approx(-8, abs=0.3)


def test_no_level_nearer_than_a_wavelength(tmp_path: Path) -> None:
    text = (
        "models: {tx: {role: ear-transmitter, power_basis: conducted}}\ndevices: {T: {model: tx, into: e}}\n"
        "antennas: {e: {for: ear, gain_dbi: 0, coax: {loss_db: 0}}, m: {for: mic}}\napart_m: {e: {m: %s}}\n"
        "links: {vox: {kind: ear, tx: T, carrier_mhz: 500.000, power_mw: 50}}\n"
    )
    for metres, told in (("0.5", False), ("0.6", True)):
        (fault,) = found(text % metres, tmp_path, "ear-and-mic-antennas-close")
        assert ("level_dbm" in fault.values) is told


def test_a_body_pack_at_the_ear_pack(tmp_path: Path) -> None:
    """10 mW over 0.3 m is about -7 dBm (common practice's own sum): P (lambda / 4 pi d)^2."""
    (fault,) = found(
        "people: {gtr: {}}\nmodels: {b: {role: mic-transmitter, worn: body, power_basis: eirp}}\n"
        "devices: {BP: {model: b}, TX: {}, PK: {}}\nlinks:\n"
        "  e: {kind: ear, tx: TX, carrier_mhz: 545.000, packs: {PK: {person: gtr}}}\n"
        "  m: {kind: mic, mic: BP, carrier_mhz: 550.000, power_mw: 10, person: gtr}\n",
        tmp_path,
        "wears-both-too-close",
    )
    arrives_mw = 10 * (299.792458 / 550 / (4 * math.pi * 0.3)) ** 2
    assert float(fault.values["level_dbm"]) == pytest.approx(10 * math.log10(arrives_mw), abs=0.06)
    assert float(fault.values["level_dbm"]) == pytest.approx(-7, abs=0.3)


@pytest.mark.parametrize(
    ("kind", "least", "most"), [("rg-58", 8.0, 13.4), ("rg-213", 4.25, 5.75), ("low-loss-10mm", 2.4, 3.4)]
)
def test_thirty_metres_of_cable(kind: str, least: float, most: float, tmp_path: Path) -> None:
    """30 m at 530 MHz: RG-58 10.7 dB (25 % either way), RG-213 5.0 and low-loss 10 mm 2.9 (15 %), from published points."""
    text = (
        f"devices: {{RX: {{into: m}}}}\nantennas: {{m: {{for: mic, gain_dbi: 9, coax: {{kind: {kind}, length_m: 30}}}}}}\n"
        "links: {h: {kind: mic, rx: RX, carrier_mhz: 530.000}}\n"
    )
    report = run(HEAD + text, tmp_path)
    faults = [finding for finding in report.findings if finding.rule == "coax-loss-high"]
    lacking = any(entry.rule == "coax-loss-high" for entry in report.not_checked)
    assert bool(faults) is (least > 5)
    assert lacking is (least <= 5 < most)
    if faults:
        assert float(faults[0].values["loss_db"]) == pytest.approx(least, rel=0.02)


def test_one_branch_for_two(tmp_path: Path) -> None:
    """Rayleigh, 1 % outage: one branch 19.98 dB, the better of two 9.77 dB (computed; see tests/rf)."""
    (fault,) = found(
        "models: {p: {role: ear-pack, antennas: [whip, ear-lead]}}\npeople: {vox: {ears: e}}\n"
        "earphones: {e: {lead_is_antenna: false}}\ndevices: {PK: {model: p}}\n"
        "links: {vox: {kind: ear, packs: {PK: {person: vox}}}}\n",
        tmp_path,
        "ear-lead-not-antenna",
    )
    assert float(fault.values["more_margin_db"]) == pytest.approx(19.98 - 9.77, abs=0.05)


def test_who_uses_an_antenna(tmp_path: Path) -> None:
    plan = plan_of(
        tmp_path,
        HEAD
        + """devices: {RX-1: {into: S}, RX-2: {into: c}, S: {}, TX-1: {into: c}}
antennas: {a: {for: mic, through: S}, b: {through: S}, c: {}, d: {}}
apart_m: {a: {b: 2}, b: {a: 1.5}}
links:
  m-1: {kind: mic, rx: RX-1}
  m-2: {kind: mic, rx: RX-2}
  e-1: {kind: ear, tx: TX-1}
""",
    )
    assert [(use.link.id, use.route.antennas) for use in uses(plan, "in")] == [("m-1", ("a", "b")), ("m-2", ("c",))]
    assert [link.id for link in links_on(plan, "c")] == ["e-1", "m-2"]
    assert [serves(plan, name) for name in "abcd"] == ["mic", "mic", None, None]
    assert apart(plan, "a", "b") == apart(plan, "b", "a") == (1.5, "/apart_m/b/a")
    assert apart(plan, "a", "c") is None


KEYS = ("rx sends_bias", "box sends_bias", "box blocks_dc", "antenna shorts_dc", "antenna needs_bias")
Flags = tuple[bool | None, ...]


def verdicts(flags: Flags, folder: Path) -> tuple[set[str], bool]:
    """What is said of the antenna's DC with some flags unwritten, and whether anything is unknown."""
    parts: dict[str, list[str]] = {
        "rx": [],
        "box": ["shorts_dc: false", "needs_bias: false"],
        "antenna": ["amplifier_db: 3"],
    }
    for key, flag in zip(KEYS, flags, strict=True):
        part, name = key.split()
        parts[part] += [] if flag is None else [f"{name}: {str(flag).lower()}"]
    spec = {part: ", ".join(words) for part, words in parts.items()}
    plan = plan_of(
        folder,
        HEAD + f"models: {{r: {{role: mic-receiver, {spec['rx']}}}, s: {{role: splitter, {spec['box']}}}}}\n"
        "devices: {RX: {model: r, into: S}, S: {model: s}}\n"
        f"antennas: {{m: {{for: mic, through: S, {spec['antenna']}}}}}\nlinks: {{h: {{kind: mic, rx: RX}}}}\n",
    )
    (use,) = uses(plan, "in")
    fed = list(along(plan, use.route, "m"))
    return {str(each.what) for each in fed} - {"unknown"}, any(each.what == "unknown" for each in fed)


def expected(flags: Flags) -> set[str]:
    """By hand: DC reaches the antenna if the splitter sends it, or the receiver does and the splitter lets it through."""
    receiver, box, blocks, shorts, needs = flags
    there = box or (receiver and not blocks)
    return ({"shorted"} if there and shorts else set()) | ({"starved"} if needs and not there else set())


def test_dc_with_every_flag_written_or_not(tmp_path: Path) -> None:
    """All 3^5 plans: what is said holds however the unwritten is filled in; what is left unsaid is unknown."""
    choices: tuple[bool | None, ...] = (True, False, None)
    for flags in product(choices, repeat=len(KEYS)):
        said, unknown = verdicts(flags, tmp_path)
        ways = [(flag,) if flag is not None else (True, False) for flag in flags]
        possible = [expected(filled) for filled in product(*ways)]
        assert all(said <= each for each in possible), flags
        if not unknown:
            assert all(said == each for each in possible), flags
        if None not in flags:
            assert not unknown, flags
