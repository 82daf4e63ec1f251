"""`planlint check` from outside: exit codes, formats, the same bytes everywhere, nothing but one line on a fault."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from planlint.schema import store
from tests.cli.command import planlint

SHORTEST = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14, 16, 17]}
links:
  vox:   {kind: ear, carrier_mhz: 505.300}
  gtr:   {kind: ear, carrier_mhz: 506.125}
  drums: {kind: ear, carrier_mhz: 507.575}
"""
TOUR = "plan_format: 1\nkind: tour\nuses: [models.yaml]\ntour: {id: t, region: us}\nlinks: {a: {kind: ear, tx: T}, b: {kind: ear}}\ndevices: {T: {model: m}}\n"
MODELS = "plan_format: 1\nkind: models\nmodels: {m: {role: ear-transmitter, tuning_mhz: [{low: 470.000, high: 608.000}], step_khz: 25}}\n"


def venue(a: str, b: str, date: str = "2026-03-14") -> str:
    return (
        f'plan_format: 1\nkind: venue\nuses: [../tour.yaml]\nshow: {{id: x, date: "{date}"}}\n'
        f"spectrum: {{tv_occupied: [16]}}\ncarriers: {{a: {{carrier_mhz: {a}}}, b: {{carrier_mhz: {b}}}}}\n"
    )


@pytest.fixture
def tour(tmp_path: Path) -> Path:
    (tmp_path / ".git").mkdir()
    (tmp_path / "venues").mkdir()
    (tmp_path / "tour.yaml").write_text(TOUR)
    (tmp_path / "models.yaml").write_text(MODELS)
    (tmp_path / "venues/one.yaml").write_text(venue("505.300", "506.125"))
    (tmp_path / "venues/two.yaml").write_text(venue("515.300", "516.125", "2026-03-21"))
    return tmp_path


def result(*words: str | Path, cwd: Path) -> dict[str, Any]:
    done = planlint("check", "--format", "json", *words, cwd=cwd)
    assert done.stderr == ""
    loaded: dict[str, Any] = json.loads(done.stdout)
    jsonschema.Draft202012Validator(store.schema("findings")).validate(loaded)
    return loaded


def rules(found: dict[str, Any]) -> list[tuple[str, str]]:
    return [(finding["rule"], finding["file"]) for finding in found["findings"]]


def test_the_shortest_plan_passes_and_says_what_it_did_not_check(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(SHORTEST)
    done = planlint("check", "plan.yaml", cwd=tmp_path)
    assert done.returncode == 0
    assert "region us" in done.stdout
    assert "no date written" in done.stdout
    assert "emission width not written: taken as 200 kHz" in done.stdout
    lines = done.stdout.splitlines()
    start = lines.index("not checked:")
    folded = [line for line in lines[start + 1 :] if line.startswith("  ")]
    assert 1 <= len(folded) <= 9
    assert "  write spares_mhz to check" in done.stdout
    assert result("plan.yaml", cwd=tmp_path)["summary"]["error"] == 0


def test_the_shortest_plan_is_really_checked(tmp_path: Path) -> None:
    for wrong, rule in (
        (SHORTEST.replace("505.300", "485.300"), "occupied-tv-channel"),
        (SHORTEST.replace("505.300", "612.300"), "reserved-service"),
        (SHORTEST.replace("505.300", "506.000"), "spacing-too-close"),
        (SHORTEST.replace("507.575", "506.950"), "intermod-two-signal-third"),
    ):
        (tmp_path / "plan.yaml").write_text(wrong)
        found = result("plan.yaml", cwd=tmp_path)
        assert [name for name, _ in rules(found)] == [rule]
        assert planlint("check", "plan.yaml", cwd=tmp_path).returncode == 1


@pytest.mark.parametrize("changed", ["tour.yaml", "models.yaml"])
def test_a_changed_tour_or_models_file_checks_every_venue(tour: Path, changed: str) -> None:
    assert planlint("check", changed, cwd=tour).returncode == 0
    if changed == "tour.yaml":
        (tour / changed).write_text(TOUR + "policy: {spacing_khz: {ear_to_ear: 900}}\n")
        expected = "spacing-too-close"
    else:
        (tour / changed).write_text(MODELS.replace("608.000", "510.000"))
        expected = "carrier-out-of-tuning"
    found = rules(result(changed, cwd=tour))
    venues = ["venues/one.yaml", "venues/two.yaml"] if changed == "tour.yaml" else ["venues/two.yaml"]
    assert [file for rule, file in found if rule == expected] == venues
    assert planlint("check", changed, cwd=tour).returncode == 1


def test_a_fault_of_the_tour_seen_from_two_venues_is_one_finding(tour: Path) -> None:
    (tour / "tour.yaml").write_text(TOUR + "polici: {}\nmixes: {m: {for: nobody}}\n")
    found = result("venues", cwd=tour)
    assert sorted(rules(found)) == [("unknown-id", "tour.yaml"), ("unknown-key", "tour.yaml")]
    assert {finding["plan"] for finding in found["findings"]} == {"venues/one.yaml"}


def test_exit_codes(tour: Path) -> None:
    def code(*words: str) -> int:
        return planlint("check", *words, cwd=tour).returncode

    assert code() == 0
    assert code("--fail-on", "note") == 0
    (tour / "venues/one.yaml").write_text(venue("505.300", "506.125").replace('"2026-03-14"', "2026-03-14"))
    assert code() == 0
    assert code("--fail-on", "warning") == 1
    (tour / "venues/one.yaml").write_text(venue("505.300", "505.400"))
    assert code() == 1
    (tour / "venues/two.yaml").write_text("plan_format: 1\nkind: venue\na: [\n")
    assert code() == 2, "a broken file outweighs findings"
    assert code("nowhere.yaml") == 2
    assert code("--format", "xml") == 2
    assert code("--nonsense") == 2


def test_a_file_that_is_no_plan(tour: Path) -> None:
    (tour / "ci.yaml").write_text("on: [push]\njobs: {}\n")
    done = planlint("check", "ci.yaml", cwd=tour)
    assert done.returncode == 0
    assert "ci.yaml: no plan file" in done.stdout
    (tour / "only").mkdir()
    (tour / "only/ci.yaml").write_text("a: 1\n")
    done = planlint("check", "only", cwd=tour)
    assert done.returncode == 2
    assert "no plan file here" in done.stderr


def test_a_newer_format_and_a_broken_tour_are_not_half_judged(tour: Path) -> None:
    (tour / "tour.yaml").write_text("plan_format: 2\nkind: tour\n")
    done = planlint("check", "venues/one.yaml", cwd=tour)
    assert done.returncode == 2
    assert "format-version" in done.stdout
    assert "NOT JUDGED: tour.yaml gives no document" in done.stdout
    assert "unknown-id" not in done.stdout


def test_paths_that_leave_the_root_are_refused(tour: Path) -> None:
    inner = tour / "inner"
    inner.mkdir()
    (inner / ".git").mkdir()
    (inner / "v.yaml").write_text(venue("505.300", "506.125"))
    done = planlint("check", "v.yaml", cwd=inner)
    assert done.returncode == 1
    assert "'../tour.yaml' is not a path inside the root" in done.stdout
    done = planlint("check", "../tour.yaml", "--root", ".", cwd=inner)
    assert done.returncode == 2
    assert "lies outside the root" in done.stderr


def test_the_same_bytes_whatever_the_folder_seed_locale_or_order(tour: Path) -> None:
    (tour / "venues/one.yaml").write_text(venue("505.300", "505.400"))
    (tour / "venues/two.yaml").write_text(venue("485.300", "505.400").replace("16]", "16, 19]"))
    plain = planlint("check", "--format", "json", cwd=tour).stdout
    text = planlint("check", cwd=tour).stdout
    for seed, locale in (("0", "C"), ("1", "POSIX"), ("4242", "C.UTF-8")):
        env = {"PYTHONHASHSEED": seed, "LC_ALL": locale, "LANG": locale}
        assert planlint("check", "--format", "json", cwd=tour, env=env).stdout == plain
        assert planlint("check", cwd=tour, env=env).stdout == text
    assert planlint("check", "--format", "json", "..", cwd=tour / "venues").stdout == plain
    order = ["venues/two.yaml", "models.yaml", "venues/one.yaml", "tour.yaml"]
    assert planlint("check", "--format", "json", *order, cwd=tour).stdout == plain
    moved = tour.parent / "elsewhere"
    shutil.copytree(tour, moved)
    assert planlint("check", "--format", "json", cwd=moved).stdout == plain


def test_a_frame_underlines_the_value_and_names_the_other_place(tour: Path) -> None:
    (tour / "venues/one.yaml").write_text(venue("505.300", "505.400"))
    text = planlint("check", "venues/one.yaml", cwd=tour).stdout
    assert "\x1b" not in text, "no colour where nobody looks"
    lines = text.splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("     6 | carriers"))
    line, marks = lines[at], lines[at + 1]
    assert line[marks.index("~") : marks.rindex("~") + 1] == "505.300"
    other = lines[at + 3]
    assert lines[at + 2][other.index("~") : other.index("~") + 7] == "505.400"
    assert "b 505.400" in other


def test_colour_only_on_a_terminal(tour: Path) -> None:
    import pty

    def seen(**env: str) -> str:
        pid, descriptor = pty.fork()
        if pid == 0:  # pragma: no cover  the child becomes the command
            import sys

            os.environ.update(env, TERM="xterm")
            os.chdir(tour)
            os.execv(sys.executable, [sys.executable, "-m", "planlint", "check"])
        chunks = []
        while True:
            try:
                chunk = os.read(descriptor, 65536)
            except OSError:
                break
            if not chunk:
                break
            chunks.append(chunk)
        os.waitpid(pid, 0)
        return b"".join(chunks).decode()

    assert "\x1b[" in seen(NO_COLOR="")
    assert "\x1b[" not in seen(NO_COLOR="1")


def test_what_a_file_says_cannot_steer_the_terminal(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(SHORTEST.replace("us}", 'us, place: "\\e[31m\\u202e", plce: "x"}'))
    done = planlint("check", "plan.yaml", cwd=tmp_path)
    assert "\x1b" not in done.stdout
    assert "\u202e" not in done.stdout


def test_a_fault_of_the_tool_is_one_line_and_exit_3(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(SHORTEST)
    (tmp_path / "sitecustomize.py").write_text(
        "import sys, planlint.engine\ndef broken(*a, **k):\n    raise RuntimeError('boom')\n"
        "sys.modules['planlint.engine.check'].select = broken\n"
    )
    done = planlint("check", "plan.yaml", cwd=tmp_path, env={"PYTHONPATH": str(tmp_path)})
    assert done.returncode == 3
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert "a fault of planlint itself, not of your files: RuntimeError: boom" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_the_head_names_the_show(tour: Path) -> None:
    first = planlint("check", "venues/two.yaml", cwd=tour).stdout.splitlines()[0]
    assert first == "x · 2026-03-21 · region us · 2 links"


def test_summary_counts(tour: Path) -> None:
    found = result(cwd=tour)
    summary = found["summary"]
    lacking = {entry["rule"] for entry in found["not_checked"]}
    assert summary["rules_not_checked"] == len(lacking) == len(found["not_checked"])
    from planlint.rules.registry import all_rules

    assert summary["rules_run"] + summary["rules_not_checked"] + summary["rules_off"] == len(all_rules())
    assert found["checked"] == ["models.yaml", "tour.yaml", "venues/one.yaml", "venues/two.yaml"]
