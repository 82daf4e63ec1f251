"""What one link may take: worked by hand from published channel edges, and against what `planlint check` says.

TV 25 is 536-542 MHz, TV 14 470-476 MHz: 47 CFR 73.603(a). The 100 kHz guard is common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.assign.allowed import Grounds
from planlint.config import Config
from planlint.engine.collect import Collector
from planlint.facts import Facts
from planlint.finding import Finding
from planlint.plan import Shelf, build, resolve
from planlint.plan.model import Link
from tests.plans import facts_of

UNARY = {
    "carrier-out-of-tuning", "carrier-off-step", "carrier-outside-band", "band-edge-touch", "reserved-service",
    "licence-missing-for-power", "occupied-tv-channel", "tv-edge-guard", "floor-over-usable", "others-on-air-collision",
    "carrier-not-in-group", "combiner-passband", "land-mobile-shared", "eirp-over-limit", "emission-too-wide", "outside-block",
}  # fmt: skip

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum:
  tv_occupied: [25]
  others_on_air: {crew: {carrier_mhz: 533.000, emission_khz: 100, kind: comms}}
models:
  tx-n: {role: ear-transmitter, tuning_mhz: [{low: 530.000, high: 545.000}], step_khz: 25, emission_khz: 200, powers_mw: [5, 30], power_basis: conducted}
  pack-n: {role: ear-pack, tuning_mhz: [{low: 529.9875, high: 543.000}], step_khz: 12.5}
  pack-h: {role: ear-pack, tuning_mhz: [{low: 531.000, high: 590.000}], step_khz: 25}
devices: {TX-1: {model: tx-n}, PK-1: {model: pack-n}, PK-S: {model: pack-h}, TX-2: {model: tx-n}, PK-2: {model: pack-n}}
groups: {G1: {stored_in: [PK-2], carriers_mhz: {1: 530.500, 2: 534.000, 3: 538.000}}}
links:
  vox: {kind: ear, tx: TX-1, carrier_mhz: 534.000, power_mw: 5, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}
  gtr: {kind: ear, tx: TX-2, carrier_mhz: 530.500, power_mw: 5, packs: {PK-2: {may_tune: stored}}}
"""


def test_what_all_ends_tune_and_the_place_leaves_free(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, PLAN)
    found = Grounds(facts).allowed(facts.plan.links["vox"])
    tunable = range(531_000_000, 543_000_001, 25_000)  # both packs and the transmitter, 25 kHz from 530
    free = [
        carrier
        for carrier in tunable
        if abs(carrier - 533_000_000) >= 150_000 and not 536_000_000 - 200_000 < carrier < 542_000_000 + 200_000
    ]
    assert list(found.carriers_hz) == free
    assert found.tunable == len(tunable)


def test_a_unit_that_tunes_stored_carriers_only(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, PLAN)
    assert Grounds(facts).allowed(facts.plan.links["gtr"]).carriers_hz == (530_500_000, 534_000_000)


def test_without_units_the_region_s_band_at_25_khz(tmp_path: Path) -> None:
    facts = facts_of(
        tmp_path,
        "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: [14]}\n"
        "links: {vox: {kind: ear, carrier_mhz: 505.300}}\n",
    )
    found = Grounds(facts).allowed(facts.plan.links["vox"])
    assert found.carriers_hz[0] == 476_200_000  # 476 + guard + half of 200 kHz
    assert found.carriers_hz[-1] == 607_900_000  # 608 - half of 200 kHz
    assert found.assumed


def test_at_the_limit_and_just_past(tmp_path: Path) -> None:
    facts = facts_of(tmp_path, PLAN)
    grounds, vox = Grounds(facts), facts.plan.links["vox"]
    assert grounds.against(vox, 535_800_000) == ()
    assert [reason.rule for reason in grounds.against(vox, 535_825_000)] == ["tv-edge-guard"]
    assert [reason.rule for reason in grounds.against(vox, 536_000_000)] == ["occupied-tv-channel"]
    assert [reason.rule for reason in grounds.against(vox, 533_125_000)] == ["others-on-air-collision"]
    assert [reason.rule for reason in grounds.against(vox, 534_010_000)] == [
        "carrier-off-step",
        "carrier-off-step",
        "carrier-off-step",
    ]
    assert "carrier-out-of-tuning" in [reason.rule for reason in grounds.against(vox, 530_500_000)]


ROOT = Path(__file__).resolve().parents[2]
SHOWS = [
    "examples/glass-barn/plan.yaml",
    "examples/saltmarsh-spring/venues/2027-03-13-millrace.yaml",
    "examples/willow-court/services/2027-09-05-sunday.yaml",
]


def _check(facts: Facts, shelf: Shelf, file: str, link: Link, carrier_hz: int) -> set[str]:
    """The rules about one carrier alone that `check` finds broken with the link moved there."""
    moved = link._replace(carrier_hz=carrier_hz, auto=False)
    plan = facts.plan._replace(links={**facts.plan.links, link.id: moved})
    trial = Facts(plan, lambda: (), facts.scans._open)
    found: list[Finding] = list(Collector(Config()).plan(plan, trial, resolve(shelf, file)))
    return {finding.rule for finding in found if link.id in finding.subjects and finding.rule in UNARY}


@pytest.mark.parametrize("file", SHOWS)
def test_allowed_agrees_with_check(file: str) -> None:
    from planlint.facts.scan_file import ScanFiles

    shelf = Shelf(ROOT)
    facts = Facts(build(resolve(shelf, file), shelf), lambda: (), ScanFiles(shelf.root))
    grounds = Grounds(facts)
    for name in sorted(facts.plan.links)[::2]:
        link = facts.plan.links[name]
        if not link.used:
            continue
        found = grounds.allowed(link)
        free = set(found.carriers_hz)
        low = min(facts.carriers.values()) // 1_000_000 - 4
        for carrier in [
            *found.carriers_hz[:: max(1, len(free) // 6)],
            *(1_000_000 * mhz for mhz in range(low, low + 60, 6)),
        ]:
            broken = _check(facts, shelf, file, link, carrier)
            hard = {reason.rule for reason in grounds.against(link, carrier)} - {"scan-gap"}
            if carrier in free:
                assert not broken, (name, carrier, broken)
            assert hard == broken or (hard | broken) <= {"carrier-out-of-tuning", "carrier-outside-band", *hard & broken}, (
                name, carrier, hard, broken,
            )  # fmt: skip
