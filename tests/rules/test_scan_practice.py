"""What the trade does with scans: common practice, no source, beside the closed forms it rests on."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from planlint.engine import Report
from tests.rules.case_files import run

OWN_MHZ = (500.3, 501.5, 503.0, 504.8, 507.2)


def scan(levels_dbm: dict[int, float], floor_dbm: float) -> str:
    """A scan of 498 to 510 MHz in 100 kHz steps: a floor, and other levels at some points, by kHz."""
    rows = "".join(f"{khz / 1000:.1f},{levels_dbm.get(khz, floor_dbm):.1f}\n" for khz in range(498_000, 510_001, 100))
    return f"freq_mhz,level_dbm\n{rows}"


def judged(folder: Path, text: str, own_rf: str = "silent") -> Report:
    links = "".join(f"  ear-{index}: {{kind: ear, carrier_mhz: {mhz:.3f}}}\n" for index, mhz in enumerate(OWN_MHZ))
    plan = (
        "# file: plan.yaml\nplan_format: 1\nkind: plan\n"
        f"scans: {{stage: {{file: stage.csv, for: ear, resolution_khz: 100, own_rf: {own_rf}}}}}\n"
        f"links:\n{links}# file: stage.csv\n{text}"
    )
    return run(plan, folder)


def severities(report: Report, *rules: str) -> list[str]:
    return [finding.severity for finding in report.findings if finding.rule in rules]


@pytest.mark.parametrize(
    ("floor_dbm", "expected"),
    [(-79, ["error"]), (-86, ["note"]), (-93, [])],
)
def test_79_is_too_much_86_is_fine_93_is_clean(floor_dbm: float, expected: list[str], tmp_path: Path) -> None:
    """Above -80 dBm is not usable, -86 is fine, -92 is clean: common practice, no source.

    In 200 kHz; a scan in 100 kHz reads half of it, 10 log10(2) dB less (closed form).
    """
    report = judged(tmp_path, scan({}, floor_dbm - 10 * math.log10(2)))
    assert severities(report, "floor-over-usable", "floor-over-clean") == expected * len(OWN_MHZ)


def test_own_transmitters_on_are_seen_and_off_are_not(tmp_path: Path) -> None:
    """Own transmitters off before scanning, else own carriers look taken: common practice, no source."""
    peaks = {round(mhz * 1000): -52.0 for mhz in OWN_MHZ}
    on, off = judged(tmp_path / "on", scan(peaks, -104.0)), judged(tmp_path / "off", scan({}, -104.0))
    assert severities(on, "scan-own-rf-on") == ["error"]
    assert severities(off, "scan-own-rf-on") == []
    assert "scan-own-rf-on" in off.ran
    # what may be our own carrier is not called a floor that is too high
    assert severities(on, "floor-over-usable") == []
    assert {entry.rule for entry in on.not_checked} >= {"floor-over-usable"}


def test_a_quiet_scan_frees_no_listed_channel(tmp_path: Path) -> None:
    """A ruling of the plan format: low antennas miss TV, so the list stands whatever the scan shows."""
    text = (
        "# file: plan.yaml\nplan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: [19]}\n"
        "scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100}}\n"
        "links: {vox: {kind: ear, carrier_mhz: 503.000}}\n# file: stage.csv\n" + scan({}, -110.0)
    )
    assert severities(run(text, tmp_path), "occupied-tv-channel") == ["error"]


def test_a_plan_without_scans_opens_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*words: object) -> None:
        raise AssertionError("a scan was looked for")

    monkeypatch.setattr("planlint.facts.scan_file.ScanFiles._find", never)
    report = run("plan_format: 1\nkind: plan\nlinks: {vox: {kind: ear, carrier_mhz: 505.300}}\n", tmp_path)
    assert "floor-over-usable" in {entry.rule for entry in report.not_checked}


def test_a_broken_file_has_its_place_in_the_csv_and_is_told_once(tmp_path: Path) -> None:
    """Two venues that name one file see one finding, at its line."""
    venue = 'plan_format: 1\nkind: venue\nuses: [../tour.yaml]\nshow: {{place: Hall, date: "{date}"}}\nscans: {{{id}: {{file: ../stage.csv}}}}\n'
    (tmp_path / "venues").mkdir()
    (tmp_path / "venues/a.yaml").write_text(venue.format(date="2026-03-14", id="stage"))
    (tmp_path / "venues/b.yaml").write_text(venue.format(date="2026-03-15", id="pit"))
    (tmp_path / "tour.yaml").write_text("plan_format: 1\nkind: tour\ntour: {region: us}\n")
    (tmp_path / "stage.csv").write_bytes(b"freq_mhz,level_dbm\n500.0,-100\n500.1,\xff\n")
    from planlint.config import read_config
    from planlint.engine import check

    report = check(tmp_path, [tmp_path], read_config(tmp_path))
    (found,) = [finding for finding in report.findings if finding.rule == "scan-format"]
    assert (found.place.file, found.place.line, found.place.column) == ("stage.csv", 3, 7)
    assert "0xff" in found.message
