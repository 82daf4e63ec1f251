"""The hook, tried with the real pre-commit: real commits in scratch repositories, nothing fetched.

The hook that is tried is the one of .pre-commit-hooks.yaml, key by key; only its environment is the test's own, since
building one would need a network.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).parents[1]
MANIFEST = ROOT / ".pre-commit-hooks.yaml"
CONFIG = ROOT / ".pre-commit-config.yaml"
TOUR = ROOT / "examples" / "saltmarsh-spring"
WORKFLOW = "name: ci\non: [push]\njobs: {test: {runs-on: a-machine, steps: [{run: make test}]}}\n"
VENUE = "venues/2027-03-13-millrace.yaml"
#: What the repository that runs these tests may have set, and what must not leak into a scratch repository.
_FOREIGN = ("GIT_DIR", "GIT_INDEX_FILE", "GIT_WORK_TREE", "GIT_PREFIX", "PRE_COMMIT", "SKIP")

Run = subprocess.CompletedProcess[str]


def hook() -> dict[str, Any]:
    """The one hook of the manifest."""
    (only,) = yaml.safe_load(MANIFEST.read_text("utf-8"))
    assert isinstance(only, dict)
    return only


def local_hook() -> dict[str, Any]:
    """The manifest's hook, run by this interpreter instead of in an environment of its own."""
    entry = hook()["entry"]
    assert entry.split()[0] == "planlint"
    return {**hook(), "language": "system", "entry": f'"{sys.executable}" -m {entry}', "verbose": True}


class Scratch:
    """A git repository with the hook installed."""

    def __init__(self, folder: Path, home: Path) -> None:
        self.folder = folder
        kept = {key: value for key, value in os.environ.items() if key not in _FOREIGN}
        self._env = kept | {
            "GIT_CONFIG_GLOBAL": os.devnull,
            "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_AUTHOR_NAME": "crew",
            "GIT_AUTHOR_EMAIL": "crew@example.org",
            "GIT_COMMITTER_NAME": "crew",
            "GIT_COMMITTER_EMAIL": "crew@example.org",
            "PRE_COMMIT_HOME": str(home),
            "PYTHONPATH": str(ROOT),
            "NO_COLOR": "1",
        }
        self.run("git", "init", "--quiet", "--initial-branch", "main")
        config = {"repos": [{"repo": "local", "hooks": [local_hook()]}]}
        (folder / ".pre-commit-config.yaml").write_text(yaml.safe_dump(config), "utf-8")
        self.run(sys.executable, "-m", "pre_commit", "install")

    def run(self, *words: str) -> Run:
        done = self.try_(*words)
        assert done.returncode == 0, done.stdout + done.stderr
        return done

    def try_(self, *words: str) -> Run:
        return subprocess.run(
            words, cwd=self.folder, env=self._env, capture_output=True, text=True, encoding="utf-8", check=False
        )

    def commit(self, *files: str) -> Run:
        """Stage these files alone and commit."""
        self.run("git", "add", *files)
        assert self.run("git", "diff", "--cached", "--name-only").stdout.split() == sorted(files)
        return self.try_("git", "commit", "--quiet", "--message", "an edit")

    def head(self) -> str:
        return self.try_("git", "rev-parse", "--verify", "--quiet", "HEAD").stdout.strip()

    def edit(self, file: str, old: str, new: str) -> None:
        path = self.folder / file
        text = path.read_text("utf-8")
        assert text.count(old) == 1, (file, old)
        path.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def scratch(tmp_path: Path) -> Scratch:
    folder = tmp_path / "tour"
    shutil.copytree(TOUR, folder)
    repository = Scratch(folder, tmp_path / "home")
    repository.run("git", "add", "--all")
    first = repository.try_("git", "commit", "--quiet", "--message", "the tour")
    assert first.returncode == 0, first.stdout + first.stderr
    return repository


def stopped(repository: Scratch, *files: str) -> str:
    """Commit, see that it was stopped, and return what was printed."""
    before = repository.head()
    done = repository.commit(*files)
    assert done.returncode != 0
    assert repository.head() == before
    printed = done.stdout + done.stderr
    assert "Failed" in printed
    return printed


def passed(repository: Scratch, *files: str) -> str:
    """Commit, see that the hook ran and that the commit exists, and return what was printed."""
    before = repository.head()
    done = repository.commit(*files)
    printed = done.stdout + done.stderr
    assert done.returncode == 0, printed
    assert repository.head() not in {"", before}
    assert "Passed" in printed
    return printed


def test_the_manifest_has_one_hook_and_is_valid() -> None:
    assert hook()["id"] == "planlint"
    assert hook()["types_or"] == ["yaml", "csv"]
    assert "files" not in hook()
    for words in (["validate-manifest", str(MANIFEST)], ["validate-config", str(CONFIG)]):
        done = subprocess.run([sys.executable, "-m", "pre_commit", *words], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stdout, done.stderr) == (0, "", ""), words


def test_a_bad_edit_is_stopped(scratch: Scratch) -> None:
    scratch.edit(VENUE, "ear-1: {carrier_mhz: 500.150", "ear-1: {carrier_mhz: 506.500")
    printed = stopped(scratch, VENUE)
    assert "occupied-tv-channel" in printed
    assert VENUE in printed


def test_a_good_edit_passes(scratch: Scratch) -> None:
    scratch.edit(VENUE, "farthest_m: 14, note: front row", "farthest_m: 13, note: front row")
    assert "0 errors, 0 warnings" in passed(scratch, VENUE)


def test_an_edit_of_the_tour_that_breaks_a_venue_is_stopped(scratch: Scratch) -> None:
    """pre-commit hands over tour.yaml alone; what it broke stands in both venues."""
    scratch.edit("tour.yaml", "PK-4:  {model: quill-pack", "PK-4:  {model: rook-body")
    printed = stopped(scratch, "tour.yaml")
    assert "carrier-out-of-tuning" in printed
    assert VENUE in printed
    assert "venues/2027-04-10-harbour-shed.yaml" in printed


def test_an_edit_of_the_models_that_breaks_a_venue_is_stopped(scratch: Scratch) -> None:
    text = (scratch.folder / "models.yaml").read_text("utf-8")
    (scratch.folder / "models.yaml").write_text(text.replace("high: 523.300", "high: 509.300"), "utf-8")
    assert "carrier-out-of-tuning" in stopped(scratch, "models.yaml")


def test_a_scan_that_shows_a_busy_carrier_is_stopped(scratch: Scratch) -> None:
    """Only the data changes: the venue that reads it is checked, and no other."""
    scan = "scans/2027-03-13-stage.csv"
    lines = (scratch.folder / scan).read_text("utf-8").splitlines()
    near = [line for line in lines if line.startswith(("500.1", "500100", "500150", "500.15", "500200"))]
    assert near, lines[:12]
    for line in near:
        head, _, _ = line.rpartition(",")
        lines[lines.index(line)] = f"{head},-60"
    (scratch.folder / scan).write_text("\n".join(lines) + "\n", "utf-8")
    printed = stopped(scratch, scan)
    assert VENUE in printed
    assert "harbour-shed" not in printed


def test_a_table_that_no_plan_reads_passes(scratch: Scratch) -> None:
    (scratch.folder / "guests.csv").write_text("name,seat\nsomebody,1\n", "utf-8")
    assert "guests.csv" in passed(scratch, "guests.csv")


def test_a_workflow_file_that_is_no_plan_passes(scratch: Scratch) -> None:
    file = ".github/workflows/ci.yaml"
    (scratch.folder / ".github" / "workflows").mkdir(parents=True)
    (scratch.folder / file).write_text(WORKFLOW, "utf-8")
    printed = passed(scratch, file)
    assert file in printed  # it was looked at, and passed over


def test_a_workflow_file_beside_a_bad_edit_hides_nothing(scratch: Scratch) -> None:
    (scratch.folder / "ci.yaml").write_text(WORKFLOW, "utf-8")
    scratch.edit(VENUE, "ear-1: {carrier_mhz: 500.150", "ear-1: {carrier_mhz: 506.500")
    assert "occupied-tv-channel" in stopped(scratch, "ci.yaml", VENUE)


def test_a_plan_that_is_no_yaml_any_more_is_stopped(scratch: Scratch) -> None:
    scratch.edit(VENUE, "farthest_m: 14, note: front row of the floor}", "farthest_m: 14, note: front row of the floor")
    assert "yaml-broken" in stopped(scratch, VENUE)


@pytest.fixture
def planlint_hook_of_this_project() -> dict[str, Any]:
    hooks = [each for repo in yaml.safe_load(CONFIG.read_text("utf-8"))["repos"] for each in repo["hooks"]]
    (found,) = [each for each in hooks if each["id"] == "planlint"]
    assert isinstance(found, dict)
    return found


def test_this_projects_own_hook_runs_on_the_examples_alone(
    planlint_hook_of_this_project: dict[str, Any], tmp_path: Path
) -> None:
    repository = _with_examples(tmp_path, planlint_hook_of_this_project)
    repository.run("git", "add", "--all")
    done = repository.try_(sys.executable, "-m", "pre_commit", "run", "--all-files", "planlint")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Passed" in done.stdout
    venue = f"examples/saltmarsh-spring/{VENUE}"
    repository.edit(venue, "ear-1: {carrier_mhz: 500.150", "ear-1: {carrier_mhz: 506.500")
    repository.run("git", "add", "--all")
    assert repository.try_(sys.executable, "-m", "pre_commit", "run", "--all-files", "planlint").returncode == 1


def _with_examples(tmp_path: Path, own: dict[str, Any]) -> Scratch:
    folder = tmp_path / "project"
    shutil.copytree(ROOT / "examples", folder / "examples")
    shutil.copytree(ROOT / "tests" / "examples", folder / "tests" / "examples")
    repository = Scratch(folder, tmp_path / "home")
    entry = f'"{sys.executable}" -m {own["entry"]}'
    config = {"repos": [{"repo": "local", "hooks": [{**own, "entry": entry}]}]}
    (folder / ".pre-commit-config.yaml").write_text(yaml.safe_dump(config), "utf-8")
    return repository
