"""Triage: places, minutes and harm of findings by hand; what fits the time by its laws.

The minutes a unit are the house's own figure (common practice, no source); the sums here are done by hand beside it.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planlint.config import Config
from planlint.engine import Report, check
from planlint.engine.report import Counts, Head
from planlint.engine.worklist import Worklist, worklist
from planlint.facts.hands import Rate
from planlint.finding import HARMS, SEVERITIES, Finding, Place, Severity, Spot, Touch, Triage

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14, 17]}
policy: {hands_min_per_unit: 2}
models: {tx: {role: ear-transmitter}, pk: {role: ear-pack}}
people: {vox: {}, mon: {}}
racks: {A: {holds: [T1, T2]}}
devices: {T1: {model: tx}, T2: {model: tx}, P1: {model: pk}, PS: {model: pk}, P2: {model: pk}}
cautions: []
links:
  ear-1: {kind: ear, tx: T1, packs: {P1: {person: vox}, PS: {stands_in_for: P1}}, carrier_mhz: 490.500}
  ear-2: {kind: ear, tx: T2, packs: {P2: {person: mon, listens_to: [ear-1]}}, carrier_mhz: 485.000}
"""


def report_of(text: str, folder: Path) -> Report:
    (folder / "plan.yaml").write_text(text)
    return check(folder, [folder / "plan.yaml"], Config())


def triage_of(report: Report, rule: str) -> Triage:
    found = next(finding for finding in report.findings if finding.rule == rule)
    assert found.triage is not None
    return found.triage


def test_a_new_carrier_touches_every_unit_and_every_listening_list(tmp_path: Path) -> None:
    """ear-1 in live TV 17 (488-494 MHz): T1, P1, PS and the entry in P2's list, 2 min each."""
    found = triage_of(report_of(PLAN, tmp_path), "occupied-tv-channel")
    assert found.harm == "law"
    assert found.effort_min == 8
    assert found.where == (Spot("rack", "A"), Spot("person", "mon"), Spot("person", "vox"), Spot("unit", "PS"))


def test_of_two_carriers_the_one_with_less_work_is_moved_and_a_pinned_one_never(tmp_path: Path) -> None:
    """300 kHz apart: ear-2 has T2 and P2, ear-1 has four touches; pinned, ear-2 stays."""
    near = PLAN.replace("490.500", "485.300")
    assert triage_of(report_of(near, tmp_path), "spacing-too-close").effort_min == 4
    pinned = near.replace("carrier_mhz: 485.000", "carrier_mhz: 485.000, pinned: agreed")
    pinned = pinned.replace("carrier_mhz: 485.300}", "}").replace("carrier_mhz: 485.000, pinned: agreed}", "}")
    pinned += "carriers: {ear-1: {carrier_mhz: 485.300}, ear-2: {carrier_mhz: 485.000, pinned: agreed}}\n"
    assert triage_of(report_of(pinned, tmp_path), "spacing-too-close").effort_min == 8


def test_paper_claims_no_minutes(tmp_path: Path) -> None:
    found = triage_of(report_of(PLAN, tmp_path), "caution-missing-hearing")
    assert (found.where, found.effort_min, found.harm) == ((), None, "hearing")


def test_ends_that_are_not_written_count_as_one_unit_and_the_default_rate(tmp_path: Path) -> None:
    text = "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: [17]}\nlinks: {vox: {kind: ear, carrier_mhz: 490.500}}\n"
    found = triage_of(report_of(text, tmp_path), "occupied-tv-channel")
    assert (found.where, found.effort_min) == ((Spot("unit", "vox"),), 1.5)


def test_a_file_that_cannot_be_read_is_triaged_too(tmp_path: Path) -> None:
    found = report_of("plan_format: 1\nkind: plan\nlinks: [\n", tmp_path).findings
    assert [(finding.rule, finding.triage) for finding in found] == [("yaml-broken", Triage((), None, "unread"))]


@pytest.mark.parametrize(
    ("rule", "harm"),
    [("same-carrier-twice", "dead-link"), ("ear-lead-not-antenna", "margin"), ("label-too-long", "tidy"), ("limiter-missing", "hearing")],
)  # fmt: skip
def test_harm_follows_the_group(rule: str, harm: str) -> None:
    from planlint.engine.triage import Triager

    assert Triager(None).triage(made(rule=rule)).harm == harm


def test_a_note_is_tidy_unless_it_is_about_law_or_hearing() -> None:
    from planlint.engine.triage import Triager

    harms = [
        Triager(None).triage(made(rule=rule, severity="note")).harm
        for rule in ("same-carrier-twice", "region-data-stale", "ear-ceiling-high")
    ]
    assert harms == ["tidy", "law", "hearing"]


# ------------------------------------------------------------------------------------------- what fits


def made(rule: str = "same-carrier-twice", severity: Severity = "error", triage: Triage | None = None) -> Finding:
    return Finding(
        rule, severity, "m", "plan.yaml", Place("plan.yaml", 1, 1, 1, 2, ""), (), {}, (), None, None, True, 0.0, triage
    )


def report(findings: list[Finding], rate: float = 1.5) -> Report:
    head = Head("plan.yaml", "plan", None, None, None, 0, None, None, rate=Rate(rate, house=True))
    return Report((head,), (), (), tuple(findings), (), Counts(0, 0, 0, 0, 0, 0, 0), (), (), fatal=False)


def touched(*units: str) -> tuple[Touch, ...]:
    return tuple(Touch(unit, None, Spot("unit", unit)) for unit in units)


WAYS = st.lists(st.lists(st.sampled_from("abcdefgh"), min_size=1, max_size=5, unique=True), min_size=0, max_size=3)
FINDINGS = st.lists(
    st.tuples(WAYS, st.sampled_from(HARMS), st.sampled_from(SEVERITIES)).map(
        lambda drawn: made(
            severity=drawn[2],
            triage=Triage((), None, drawn[1], tuple(sorted((touched(*way) for way in drawn[0]), key=len))),
        )
    ),
    max_size=10,
)
MINUTES = st.integers(0, 120).map(lambda tenths: tenths / 10)
RATES = st.sampled_from([0.1, 0.7, 1.5, 2.0])


def order(findings: list[Finding]) -> list[int]:
    def key(index: int) -> tuple[int, int, int, int]:
        triage = findings[index].triage
        assert triage is not None
        fewest = min([len(way) for way in triage.ways], default=0)
        return HARMS.index(triage.harm), SEVERITIES.index(findings[index].severity), fewest, index

    return sorted(range(len(findings)), key=key)


@given(FINDINGS, MINUTES, MINUTES, st.integers(1, 3), st.integers(0, 3), RATES)
def test_more_minutes_or_hands_never_drop_what_fitted_in_order(
    findings: list[Finding], minutes: float, more: float, hands: int, extra: int, rate: float
) -> None:
    few = worklist(report(findings, rate), minutes, hands)
    many = worklist(report(findings, rate), minutes + more, hands + extra)
    assert many.do[: len(few.do)] == few.do
    assert many.room >= few.room


@given(FINDINGS, MINUTES, st.integers(1, 3), RATES)
def test_what_fits_fits_and_nothing_is_forgotten(
    findings: list[Finding], minutes: float, hands: int, rate: float
) -> None:
    work = worklist(report(findings, rate), minutes, hands)
    units = [touch.unit for item in (*work.do, *work.also) for touch in item.touches]
    assert len(set(units)) == len(units) == work.touches <= work.room
    assert work.room * rate <= minutes * hands + 1e-9
    everything = [*(item.at for item in (*work.do, *work.also, *work.leave)), *work.uncounted]
    assert sorted(everything) == list(range(len(findings)))
    ranked = order(findings)
    for part in ([item.at for item in work.do], [item.at for item in work.leave], list(work.uncounted)):
        assert part == [index for index in ranked if index in part]
    assert all(not findings[index].triage.ways for index in work.uncounted)  # type: ignore[union-attr]


@given(FINDINGS, MINUTES, st.integers(1, 3))
def test_each_that_fits_brings_one_of_its_ways_and_each_that_is_left_fits_no_more(
    findings: list[Finding], minutes: float, hands: int
) -> None:
    work = worklist(report(findings), minutes, hands)
    done = {touch.unit for item in (*work.do, *work.also) for touch in item.touches}
    for item in (*work.do, *work.also):
        assert any({touch.unit for touch in way} <= done for way in ways(findings[item.at]))
    for item in work.leave:
        added = [len({touch.unit for touch in way} - done) for way in ways(findings[item.at])]
        assert len(item.touches) == min(added) > 0
    if work.leave:  # the first that is left did not fit beside what stands before it
        first = work.leave[0]
        before = {touch.unit for item in work.do for touch in item.touches}
        assert all(len(before | {touch.unit for touch in way}) > work.room for way in ways(findings[first.at]))


def ways(finding: Finding) -> tuple[tuple[Touch, ...], ...]:
    assert finding.triage is not None
    return finding.triage.ways


def lists(work: Worklist) -> tuple[list[int], list[int], list[int], list[int]]:
    do, also, leave = ([item.at for item in part] for part in (work.do, work.also, work.leave))
    return do, also, leave, list(work.uncounted)


def test_by_hand() -> None:
    """Two people, 4 min at 1.5: two whole touches each. The second error does not fit; the tidy one behind it does."""
    findings = [
        made(triage=Triage((), None, "tidy", (touched("a", "x"),))),
        made(triage=Triage((), None, "hearing", (touched("a", "b", "c"),))),
        made(triage=Triage((), None, "dead-link", (touched("d", "e"),))),
        made(triage=Triage((), None, "law")),
        made(triage=Triage((), None, "margin", (touched("b", "c"),))),
    ]
    assert lists(worklist(report(findings), 4, 2)) == ([1], [4, 0], [2], [3])
    assert lists(worklist(report(findings), 4, 3)) == ([1, 2, 4, 0], [], [], [3])
    assert lists(worklist(report(findings), 1.4, 9)) == ([], [], [1, 2, 4, 0], [3])


def test_waived_findings_are_no_work(tmp_path: Path) -> None:
    text = PLAN.replace("490.500", "485.300") + (
        "waivers: [{rule: spacing-too-close, covers: [ear-1], because: agreed with both, by: monitor engineer}]\n"
    )
    found = report_of(text, tmp_path)
    waived = {index for index, finding in enumerate(found.findings) if finding.waived}
    assert waived
    do, also, leave, uncounted = lists(worklist(found, 600, 9))
    assert not waived & {*do, *also, *leave, *uncounted}
    assert leave == []
