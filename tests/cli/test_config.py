"""`.planlint.yaml`: per-rule settings, and clear words where it is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from planlint.rules.option_values import OptionError, option_value
from planlint.rules.registry import by_id
from tests.cli.command import planlint

PLAN = """\
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: []}
links: {a: {kind: ear, carrier_mhz: 505.300}, b: {kind: ear, carrier_mhz: 505.600}}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / ".git").mkdir()
    (tmp_path / "plan.yaml").write_text(PLAN)
    return tmp_path


def check(folder: Path, config: str, *words: str) -> tuple[int, str]:
    (folder / ".planlint.yaml").write_text(config)
    done = planlint("check", *words, cwd=folder)
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout + done.stderr


def test_severity_run_and_fail_on(folder: Path) -> None:
    assert check(folder, "")[0] == 1
    code, text = check(folder, "rules: {spacing-too-close: {severity: note}}\n")
    assert (code, "note spacing-too-close" in text) == (0, True)
    assert check(folder, "fail_on: note\nrules: {spacing-too-close: {severity: note}}\n")[0] == 1
    code, text = check(folder, "rules: {spacing-too-close: {run: false}}\n")
    assert (code, "spacing-too-close" in text, ", 2 off" in text) == (0, False, True)


def test_skip(folder: Path) -> None:
    code, text = check(folder, "skip: [plan.yaml]\n", "plan.yaml")
    assert (code, "passed over" in text) == (0, True)


@pytest.mark.parametrize(
    ("config", "says"),
    [
        ("rules: {spacing-too-clos: {run: false}}\n", ".planlint.yaml:1:9: no rule is called 'spacing-too-clos'; did you mean spacing-too-close?"),
        ("rules: {spacing-too-close: {sevrity: note}}\n", "'sevrity' is no setting; did you mean severity?"),
        ("rules: {carrier-outside-band: {run: false}}\n", "is about the law or a broken file"),
        ("rules: {key-twice: {severity: note}}\n", "is about the law or a broken file"),
        ("rules: {spacing-too-close: {options: {x: 1}}}\n", "'x' is no option of spacing-too-close"),
        ("rules:\n  net-subnet: {options: {prefix_bits: 99}}\n", ".planlint.yaml:2:39: prefix_bits: 99 is not a whole number from 1 to 30"),
        ("rules: {net-subnet: {options: {prefix_bits: 24.5}}}\n", "prefix_bits: 24.5 is not a whole number from 1 to 30"),
        ("rules: {net-subnet: {options: {prefix_bits: true}}}\n", "prefix_bits: true is not a whole number from 1 to 30"),
        ("rules: {ear-and-mic-antennas-close: {options: {least_m: far}}}\n", "least_m: far is not a number from 0 to 1000"),
        ("rules: {ear-and-mic-antennas-close: {options: {least_m: -1}}}\n", "least_m: -1 is not a number from 0 to 1000"),
        ("fail_on: [\n", ".planlint.yaml:2:1"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_at_its_place(folder: Path, config: str, says: str) -> None:
    code, text = check(folder, config)
    assert code == 2
    assert says in text
    assert len(text.splitlines()) == 1


def test_an_option_reaches_its_rule(folder: Path) -> None:
    plan = PLAN.replace("links:", "devices: {X: {address: 10.0.0.1}, Y: {address: 10.0.1.2}}\nlinks:")
    (folder / "plan.yaml").write_text(plan)
    wide = check(folder, "rules: {net-subnet: {options: {prefix_bits: 16}}}\n")[1]
    narrow = check(folder, "rules: {net-subnet: {options: {prefix_bits: 24}}}\n")[1]
    assert "warning net-subnet" in narrow
    assert "warning net-subnet" not in wide


def test_every_option_declares_what_it_takes() -> None:
    for loaded in by_id().values():
        for key in loaded.options.__annotations__:
            default = getattr(loaded.options(), key)
            assert option_value(loaded.options, key, default) == default, loaded.id
            wrong = "far" if not isinstance(default, str) else 1
            with pytest.raises(OptionError, match=f"^{key}: {wrong} is not "):
                option_value(loaded.options, key, wrong)
            if isinstance(default, int | float) and not isinstance(default, bool):
                with pytest.raises(OptionError, match=r" from .* to "):
                    option_value(loaded.options, key, 10**9)
