"""README.md: its commands run in a fresh clone, its outputs are what planlint prints, its table is the rules' own."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from planlint.output.rule_table import markdown
from planlint.rules.registry import all_rules
from tests.cli.command import planlint

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
INNER = "PLANLINT_FRESH_CLONE"


def block(heading: str, language: str) -> str:
    """The first fenced block of a language below a heading."""
    text = README.read_text("utf-8")
    section = text[text.index(f"\n## {heading}\n") :]
    match = re.search(rf"^```{language}\n(.*?)^```$", section, re.MULTILINE | re.DOTALL)
    assert match
    return match[1]


def test_the_table_of_rules_is_generated(update_golden: bool) -> None:
    text = README.read_text("utf-8")
    start, end = "<!-- rules: begin -->\n", "<!-- rules: end -->"
    before, _, rest = text.partition(start)
    _, _, after = rest.partition(end)
    wanted = before + start + markdown(all_rules()) + end + after
    if update_golden:
        README.write_text(wanted, "utf-8")
    assert README.read_text("utf-8") == wanted


def shown(heading: str, text: str, *, update: bool) -> None:
    """The block of output below a heading is exactly what planlint prints."""
    if update:
        old = f"## {heading}\n"
        before, after = README.read_text("utf-8").split(old, 1)
        after = re.sub(r"```text\n.*?```", lambda _: f"```text\n{text}```", after, count=1, flags=re.DOTALL)
        README.write_text(before + old + after, "utf-8")
    assert block(heading, "text") == text


def test_the_shortest_plan_and_its_output(tmp_path: Path, update_golden: bool) -> None:
    (tmp_path / "plan.yaml").write_text(block("The shortest plan", "yaml"))
    shown("The shortest plan", planlint("check", "plan.yaml", cwd=tmp_path).stdout, update=update_golden)


def test_a_finding_with_its_frame(tmp_path: Path, update_golden: bool) -> None:
    plan = block("The shortest plan", "yaml").replace("507.575", "506.950")
    (tmp_path / "plan.yaml").write_text(plan)
    printed = planlint("check", "plan.yaml", cwd=tmp_path).stdout
    finding = printed[printed.index("error intermod") : printed.index("\n\nnot checked") + 1]
    shown("A finding", finding, update=update_golden)


@pytest.mark.parametrize("heading", ["Run it", "Test it"])
@pytest.mark.slow
@pytest.mark.skipif(INNER in os.environ, reason="already inside a fresh clone made by this test")
@pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
@pytest.mark.skipif(os.name == "nt", reason="the sh form of the commands")
def test_a_command_of_the_readme_in_a_fresh_clone(heading: str, tmp_path: Path) -> None:
    clone = tmp_path / "clone"
    subprocess.run(["git", "clone", "--quiet", "--no-hardlinks", str(ROOT), str(clone)], check=True)
    shutil.copy(README, clone / "README.md")
    command = block(heading, "sh").strip()
    assert len(command.splitlines()) == 1
    path = os.pathsep.join([str(Path(sys.base_prefix) / "bin"), os.environ["PATH"]])
    env = {key: value for key, value in os.environ.items() if not key.startswith(("PYTEST", "VIRTUAL_ENV", "PYTHON"))}
    # the whole suite runs outside; here the command itself is on trial, with one file of tests
    env |= {INNER: "1", "PATH": path, "PYTEST_ADDOPTS": "-n0 -k test_parse"}
    done = subprocess.run(["sh", "-c", command], cwd=clone, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-4000:]
    if heading == "Run it":
        assert "0 errors" in done.stdout
    else:
        assert "all passed" in done.stdout
        assert re.search(r"\d+ passed", done.stdout)
