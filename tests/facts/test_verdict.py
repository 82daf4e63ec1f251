"""Power against the rows of a region: exactly on the limit, which rows apply, and one finding for one link.

The law's meaning of a limit ("may not exceed") is why a value on it passes. 47 CFR 15.236: 50 mW EIRP in 470-608 MHz
(second-hand); 74.861(e)(1)(ii): 250 mW conducted for licence holders (edition of 2015, second-hand); 653-657 MHz for
licence holders only. UK channel 38: 10 mW hand-held and 50 mW otherwise, ERP (second-hand). The region data says from
where each is.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planlint.facts import Facts
from planlint.facts.verdict import Verdict, verdict
from tests.plans import facts_of
from tests.rules.case_files import run

LAW = {
    *("carrier-outside-band", "band-edge-touch", "reserved-service"),
    *("licence-missing-for-power", "eirp-over-limit"),
}
PART_74 = """licences:
  hall: {class: part-74, place: us, from: "2026-03-14", until: "2026-03-14", low_mhz: 470.000, high_mhz: 608.000%s}
"""
UNIT = """models: {hand: {role: mic-transmitter%s, power_basis: %s, own_antenna_gain_dbi: %s}}
devices: {HH-1: {model: hand}}
"""


def text(
    carrier: str,
    power: str,
    *,
    region: str = "us",
    basis: str = "eirp",
    gain: str = "0",
    held: str = "",
    worn: str = "",
) -> str:
    worn = f", worn: {worn}" if worn else ""
    return (
        f'plan_format: 1\nkind: plan\nshow: {{region: {region}, place: Millrace Hall, date: "2026-03-14"}}\n'
        f"{held}{UNIT % (worn, basis, gain)}links: {{vox: {{kind: mic, mic: HH-1, carrier_mhz: {carrier}, power_mw: {power}}}}}\n"
    )


def judged(folder: Path, plan: str) -> Verdict:
    facts: Facts = facts_of(folder, plan)
    found = verdict(facts.plan, facts, facts.plan.links["vox"])
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("power", "basis", "gain", "answer"),
    [
        ("50", "eirp", "0", "within"),
        ("50.001", "eirp", "0", "over"),
        ("50", "conducted", "0", "within"),
        ("25", "conducted", "3.0103", "within"),  # twice 25, to the last digit of the written gain
        ("25", "conducted", "3.02", "over"),
        ("30.4", "erp", "0", "within"),  # 49.9 mW EIRP
        ("30.5", "erp", "0", "over"),  # 50.04 mW EIRP
    ],
)
def test_exactly_on_the_limit_passes(power: str, basis: str, gain: str, answer: str, tmp_path: Path) -> None:
    assert judged(tmp_path, text("560.000", power, basis=basis, gain=gain)).answer == answer


def test_a_licence_opens_its_rows_and_their_basis(tmp_path: Path) -> None:
    def answer(power: str, gain: str, held: str) -> str:
        return judged(tmp_path, text("560.000", power, basis="conducted", gain=gain, held=held)).answer

    assert answer("250", "6", PART_74 % "") == "within", "conducted: the antenna does not count"
    assert answer("250.1", "6", PART_74 % "") == "over"
    assert answer("250", "6", "licences: {}\n") == "licence"
    assert answer("251", "6", "licences: {}\n") == "over", "no licence would do"
    assert answer("100", "0", PART_74 % ", power_mw: 100, power_basis: eirp") == "within"
    assert answer("100", "0.1", PART_74 % ", power_mw: 100, power_basis: eirp") == "over"
    assert answer("100", "0", PART_74 % ", power_mw: 100") == "unknown", "the licence's basis is not written"


def test_without_licences_in_the_plan_the_open_limit_stands(tmp_path: Path) -> None:
    found = judged(tmp_path, text("560.000", "100"))
    assert (found.answer, found.needs) == ("over", ("/licences",))
    assert judged(tmp_path, text("655.000", "10")).answer == "unknown"
    assert judged(tmp_path, text("655.000", "21")).answer == "over", "over every row"


SHARED = (
    'licences: {l: {class: shared, place: gb, from: "2026-01-01", until: "2026-12-31", low_mhz: 606, high_mhz: 614}}\n'
)


@pytest.mark.parametrize(
    ("power", "worn", "answer"),
    [
        *(
            ("10", "handheld", "within"),
            ("10.1", "handheld", "over"),
            ("50", "body", "within"),
            ("50.1", "body", "over"),
        ),
        *(("10", "", "within"), ("11", "", "unknown"), ("51", "", "over")),
    ],
)
def test_hand_held_units_have_a_limit_of_their_own(power: str, worn: str, answer: str, tmp_path: Path) -> None:
    found = judged(tmp_path, text("606.700", power, region="gb", basis="erp", held=SHARED, worn=worn))
    assert found.answer == answer
    if answer == "unknown":
        assert found.needs == ("/models/hand/worn",)


@pytest.mark.parametrize(
    ("carrier", "power", "held", "said"),
    [
        ("560.000", "50", "licences: {}\n", set()),
        ("560.000", "51", "licences: {}\n", {"licence-missing-for-power"}),
        ("560.000", "251", "licences: {}\n", {"eirp-over-limit"}),
        ("560.000", "51", PART_74 % "", set()),
        ("560.000", "251", PART_74 % "", {"eirp-over-limit"}),
        ("560.000", "51", "", {"eirp-over-limit"}),
        ("655.000", "10", "licences: {}\n", {"licence-missing-for-power"}),
        ("655.000", "900", "licences: {}\n", {"licence-missing-for-power"}),
        ("655.000", "10", PART_74 % "", {"licence-missing-for-power"}),  # the licence is for another band
        ("610.000", "900", "licences: {}\n", {"reserved-service"}),
        ("607.950", "900", "licences: {}\n", {"reserved-service"}),
        ("466.000", "900", "licences: {}\n", {"carrier-outside-band"}),
        ("470.050", "50", "licences: {}\n", {"band-edge-touch"}),
        ("470.050", "51", PART_74 % "", {"band-edge-touch"}),
        ("470.050", "251", "licences: {}\n", {"band-edge-touch", "eirp-over-limit"}),
    ],
)
def test_which_rules_of_law_speak(carrier: str, power: str, held: str, said: set[str], tmp_path: Path) -> None:
    report = run(text(carrier, power, held=held), tmp_path)
    assert {finding.rule for finding in report.findings if finding.rule in LAW} == said


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    carrier=st.sampled_from(["470.050", "560.000", "607.900", "615.000", "655.000", "660.000", "945.000"]),
    power=st.sampled_from(["10", "20", "50", "100", "250", "999", "1001"]),
    basis=st.sampled_from(["conducted", "erp", "eirp"]),
    gain=st.sampled_from(["-10", "0", "6"]),
    held=st.sampled_from(["", "licences: {}\n", PART_74 % "", PART_74 % ", power_mw: 100, power_basis: eirp"]),
)
def test_never_both_for_one_link(
    carrier: str, power: str, basis: str, gain: str, held: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    report = run(text(carrier, power, basis=basis, gain=gain, held=held), tmp_path_factory.mktemp("plan"))
    said = [
        finding.rule for finding in report.findings if finding.rule in {"licence-missing-for-power", "eirp-over-limit"}
    ]
    assert len(said) <= 1
    lacking = {entry.rule for entry in report.not_checked}
    assert not {"licence-missing-for-power"} & lacking or held == ""
