"""The tour matrix on tours that are small enough to reckon by hand."""

from __future__ import annotations

from pathlib import Path

from tests.assign.tour_case import MODELS, found_for


def write(folder: Path, **files: str) -> list[str]:
    (folder / "models.yaml").write_text(MODELS % {"low": "475.000", "high": "481.000"}, "utf-8")
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    return [f"{name}.yaml" for name in files if name != "tour"]


def show(number: int, date: str, spectrum: str, carriers: str, more: str = "") -> str:
    return (
        f"plan_format: 1\nkind: venue\nuses: [tour.yaml]\n"
        f"show: {{id: v{number}, place: Hall {number}, region: us{date}}}\n"
        f"spectrum: {{{spectrum}}}\ncarriers: {{{carriers}}}\n{more}"
    )


TWO_LINKS = """\
plan_format: 1
kind: tour
uses: [models.yaml]
devices: {TA: {model: t}, TB: {model: t}}
links: {a: {kind: ear, tx: TA}, b: {kind: ear, tx: TB}}
"""


def test_the_table_says_which_rule_closes_what(tmp_path: Path) -> None:
    own = "a: {carrier_mhz: 475.350}, b: {carrier_mhz: 478.850}"
    files = write(
        tmp_path,
        tour=TWO_LINKS,
        # 475.350 + 100 kHz reaches 475.450: clear of TV 15 (476-482 MHz, 47 CFR 73.603(a)) by 550; in TV 14 (470-476)
        tonight=show(1, ', date: "2027-01-01"', "tv_occupied: []", own, "spares_mhz: {ear: [477.275, 475.525]}\n"),
        tv=show(2, ', date: "2027-01-02"', "tv_occupied: [14]", "a: {carrier_mhz: 479.550}, b: {unused: away}"),
        pinned=show(
            3, ', date: "2027-01-03"', "tv_occupied: []",
            "a: {carrier_mhz: 478.850, pinned: the house says so}, b: {carrier_mhz: 476.750}",
        ),
        crew=show(
            4, "", "tv_occupied: [], others_on_air: {crew: {carrier_mhz: 475.400, emission_khz: 20, kind: comms}}",
            "a: {carrier_mhz: 477.450}, b: {carrier_mhz: 478.850}",
        ),
    )  # fmt: skip
    found = found_for(tmp_path, files)
    rows = {row.link or f"spare {row.carrier_hz}": row for row in found.rows}
    assert [night.plan.file for night in found.tour.all] == ["tonight.yaml", "tv.yaml", "pinned.yaml", "crew.yaml"]
    assert [cell.rules for cell in rows["a"].cells] == [
        (), ("occupied-tv-channel",), ("pinned",), ("others-on-air-collision",),
    ]  # fmt: skip
    assert [cell.used for cell in rows["b"].cells] == [True, False, True, True]
    assert [cell.rules for cell in rows["b"].cells] == [(), (), ("same-carrier-twice",), ()]
    # the house writes no spacing: twice 200 kHz; 175 kHz from a
    assert rows["spare 475525000"].cells[0].rules == ("spacing-too-close",)
    assert rows["spare 477275000"].cells[0].stands
    assert [len(found.tour.undated), found.tonight, found.tonight_lasts] == [1, 0, (0, 0)]
    # b beside those who stay: 400 kHz from a where it is pinned, half of 200 + 20 from the crew
    line = range(475_000, 481_001, 175)
    free = [khz for khz in line if abs(khz - 478_850) >= 400 and abs(khz - 475_400) >= 110]
    known = {one.links: [hz // 1000 for hz in one.carriers_hz] for one in found.survivors}
    assert known == {("b",): free, ("a",): [478_850]}
    (ranges,) = [
        [(low // 1000, high // 1000) for low, high, _ in one.ranges] for one in found.survivors if "b" in one.links
    ]
    assert ranges == [(475_000, 475_175), (475_525, 478_325), (479_375, 480_950)]


def test_links_never_on_together_may_share_a_carrier(tmp_path: Path) -> None:
    narrow = MODELS % {"low": "475.000", "high": "475.175"}
    day = (
        'day:\n  - {what: first, at: "19:00", until: "20:00", on_air: [a]}\n'
        '  - {what: second, at: "20:00", until: "21:00", on_air: [b]}\n'
    )
    auto = "a: {carrier_mhz: auto}, b: {carrier_mhz: auto}"
    files = write(
        tmp_path,
        tour=TWO_LINKS,
        one=show(1, ', date: "2027-01-01"', "tv_occupied: []", auto, day),
        two=show(2, ', date: "2027-01-02"', "tv_occupied: []", auto, day),
        three=show(3, ', date: "2027-01-03"', "tv_occupied: []", auto),
    )
    (tmp_path / "models.yaml").write_text(narrow, "utf-8")
    found = found_for(tmp_path, files)
    assert found.no_set == {2: "none"}  # both on at once: two carriers 175 kHz apart, 400 are needed
    assert (found.run.first, found.run.last, found.run.proven) == (0, 1, True)
    assert found.touches.found == 0


def test_links_of_one_wide_emission_move_together(tmp_path: Path) -> None:
    tour = TWO_LINKS.replace("{kind: ear, tx: TA}", "{kind: ear, tx: TA, wide_emission: W}").replace(
        "{kind: ear, tx: TB}", "{kind: ear, tx: TA, wide_emission: W}"
    )
    files = write(
        tmp_path,
        tour=tour,
        one=show(
            1, ', date: "2027-01-01"', "tv_occupied: [14]", "a: {carrier_mhz: 478.850}, b: {carrier_mhz: 478.850}"
        ),
        two=show(
            2, ', date: "2027-01-02"', "tv_occupied: [15]", "a: {carrier_mhz: 475.350}, b: {carrier_mhz: 475.350}"
        ),
    )
    found = found_for(tmp_path, files)
    assert [row.cells[1].rules for row in found.rows] == [("occupied-tv-channel",)] * 2
    assert found.run.length == 1
    # their transmitter TA once, and for each of them the ends that are not written
    assert found.touches.found == found.touches.bound == 3
    assert found.written is not None
    assert found.written.touches == 3
    assert set(found.touches.carriers[0]) == {"a"}


def test_a_wide_emission_is_on_where_its_first_link_is_away(tmp_path: Path) -> None:
    tour = """\
plan_format: 1
kind: tour
uses: [models.yaml]
devices: {TA: {model: t}, TC: {model: t}}
links:
  a: {kind: ear, tx: TA, wide_emission: W}
  b: {kind: ear, tx: TA, wide_emission: W}
  c: {kind: ear, tx: TC}
"""
    auto = "carrier_mhz: auto"
    files = write(
        tmp_path,
        tour=tour,
        one=show(1, ', date: "2027-01-01"', "tv_occupied: []", f"a: {{{auto}}}, b: {{{auto}}}, c: {{unused: away}}"),
        two=show(2, ', date: "2027-01-02"', "tv_occupied: []", f"a: {{unused: away}}, b: {{{auto}}}, c: {{{auto}}}"),
    )
    # 475.000, 475.175, 475.350: a wide emission and c keep half of both emissions, 200 kHz
    (tmp_path / "models.yaml").write_text(MODELS % {"low": "475.000", "high": "475.350"}, "utf-8")
    found = found_for(tmp_path, files)
    assert found.no_set == {}
    assert found.touches.found == 0
    assert {abs(one["a"] - one["c"]) for one in found.touches.carriers[1:]} == {350_000}


def test_one_link_with_one_carrier(tmp_path: Path) -> None:
    others = "others_on_air: {far: {carrier_mhz: 600.0125, emission_khz: 200, kind: comms}}"
    files = write(
        tmp_path,
        tour=TWO_LINKS,
        one=show(1, ', date: "2027-01-01"', f"tv_occupied: [], {others}", HELD),
        two=show(2, ', date: "2027-01-02"', f"tv_occupied: [], {others}", HELD),
        near=show(3, ', date: "2027-01-03"', "tv_occupied: [], " + others.replace("600.0125", "478.1"), HELD),
    )
    found = found_for(tmp_path, files)
    assert found.no_set == {2: "none"}  # 100 kHz from somebody else, 200 are needed, and the link is pinned
    assert (found.run.length, found.run.proven, found.touches.found) == (2, True, 0)


HELD = "a: {carrier_mhz: 478.000, pinned: the house says so}, b: {unused: away}"
