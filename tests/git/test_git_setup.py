"""`git-setup`, the difference that git shows, and the last good state, in real repositories."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from tests.cli.command import planlint
from tests.diff.shows import VENUE, lay_out
from tests.git import repository

SHOW = "venues/a.yaml"


@pytest.fixture(name="folder")
def _folder(tmp_path: Path) -> Path:
    folder = repository.new(tmp_path / "a tour's folder")
    lay_out(folder)
    return folder


def setup(folder: Path, *words: str) -> tuple[int, str]:
    done = planlint("git-setup", *words, cwd=folder, env=repository.ENV)
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout + done.stderr


def test_check_says_no_before_and_yes_after(folder: Path) -> None:
    code, said = setup(folder, "--check")
    assert code == 1
    assert "NO  .gitattributes gives models.yaml, tour.yaml, venues/a.yaml another merge" in said
    assert setup(folder)[0] == 0
    code, said = setup(folder, "--check")
    assert (code, "NO " in said) == (0, False)
    assert setup(folder / "venues", "--check")[0] == 0


def test_doing_it_again_changes_nothing(folder: Path) -> None:
    (folder / ".gitattributes").write_text("*.csv -text", "utf-8")
    setup(folder)
    before = (folder / ".gitattributes").read_bytes(), (folder / ".git/config").read_bytes()
    setup(folder)
    assert before == ((folder / ".gitattributes").read_bytes(), (folder / ".git/config").read_bytes())
    assert before[0].startswith(b"*.csv -text\n# planlint")


@pytest.mark.parametrize(
    ("break_it", "says"),
    [
        (["config", "--unset", "merge.planlint.driver"], "merge.planlint.driver is not set in this clone"),
        (
            ["config", "merge.planlint.driver", "/nowhere/python -m planlint git-merge-file"],
            "/nowhere/python cannot run",
        ),
        (["config", "diff.planlint.command", "true"], "true cannot run planlint"),
    ],
)
def test_check_names_what_is_missing(break_it: list[str], says: str, folder: Path) -> None:
    setup(folder)
    repository.run(folder, *break_it)
    code, said = setup(folder, "--check")
    assert code == 1
    assert says in said


def test_check_sees_attributes_that_another_line_takes_away(folder: Path) -> None:
    setup(folder)
    (folder / "venues/.gitattributes").write_text("*.yaml merge=union\n", "utf-8")
    code, said = setup(folder, "--check")
    assert code == 1
    assert "gives venues/a.yaml another merge" in said


def test_a_clone_needs_its_own_setup(folder: Path, tmp_path: Path) -> None:
    """git falls back silently: the attributes travel, the configuration does not."""
    setup(folder)
    repository.commit(folder)
    repository.run(tmp_path, "clone", "-q", str(folder), "clone")
    code, said = setup(tmp_path / "clone", "--check")
    assert code == 1
    assert "yes merge attribute" in said
    assert "merge.planlint.driver is not set in this clone" in said


def test_remove_undoes_it(folder: Path) -> None:
    (folder / ".gitattributes").write_text("*.csv -text\n", "utf-8")
    before = (folder / ".git/config").read_text("utf-8")
    setup(folder)
    assert setup(folder, "--remove")[0] == 0
    assert (folder / ".gitattributes").read_text("utf-8") == "*.csv -text\n"
    assert (folder / ".git/config").read_text("utf-8") == before
    assert not (folder / ".git/hooks/post-merge").exists()


def test_a_hook_of_somebody_else_is_left_alone(folder: Path) -> None:
    hook = folder / ".git/hooks/post-merge"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\necho mine\n", "utf-8")
    _, said = setup(folder)
    assert hook.read_text("utf-8") == "#!/bin/sh\necho mine\n"
    assert "git-merged" in said
    assert setup(folder, "--check")[0] == 1


def test_outside_a_repository_it_says_so(tmp_path: Path) -> None:
    done = planlint("git-setup", cwd=tmp_path, env={"GIT_CEILING_DIRECTORIES": str(tmp_path.parent)})
    assert (done.returncode, done.stderr) == (2, "planlint: no git repository here\n")


def test_git_diff_shows_what_changed_and_not_what_moved(folder: Path) -> None:
    setup(folder)
    repository.commit(folder)
    turned = (
        VENUE.replace("carriers:\n", "carriers:\n  # turned round\n")
        .replace("503.300", "511.300")
        .replace("501.000", "501")
    )
    (folder / SHOW).write_text(turned, "utf-8")
    shown = repository.run(folder, "diff").stdout
    assert shown == f"planlint diff {SHOW}\n  ~ carriers ear-2 carrier: 503.300 → 511.300 MHz\n"


def test_git_diff_of_text_alone_says_so_and_a_new_file_is_all_new(folder: Path) -> None:
    setup(folder)
    repository.commit(folder)
    (folder / SHOW).write_text(VENUE + "# a comment\n", "utf-8")
    assert "says the same: only its text differs" in repository.run(folder, "diff").stdout
    (folder / "venues/b.yaml").write_text(VENUE, "utf-8")
    repository.run(folder, "add", "-A")
    assert (
        "+ carriers: {ear-1: {carrier_mhz: 501.000, power_mw: 9}" in repository.run(folder, "diff", "--cached").stdout
    )


def test_git_diff_of_another_yaml_file_is_gits_own(folder: Path) -> None:
    setup(folder)
    (folder / "notes.yaml").write_text("a: 1\n", "utf-8")
    repository.commit(folder)
    (folder / "notes.yaml").write_text("a: 2\n", "utf-8")
    shown = repository.run(folder, "diff").stdout
    assert "-a: 1\n+a: 2\n" in shown


def test_the_log_shows_one_line_for_each_value(folder: Path) -> None:
    setup(folder)
    repository.commit(folder)
    lines = VENUE.splitlines(keepends=True)
    turned = "".join(reversed(lines[6:10]))  # the carriers in another order
    (folder / SHOW).write_text("".join(lines[:6]) + turned.replace("503.300", "511.300") + "".join(lines[10:]), "utf-8")
    repository.commit(folder)
    shown = repository.run(folder, "log", "-1", "-p", "--", SHOW).stdout
    changed = [line for line in shown.splitlines() if line[:1] in {"+", "-"} and line[:3] not in {"+++", "---"}]
    assert changed == ["-carriers ear-2 carrier_mhz: 503.300", "+carriers ear-2 carrier_mhz: 511.300"]


def test_the_last_good_state_is_kept_whole_and_beside_everything(folder: Path) -> None:
    before = repository.commit(folder)
    (folder / "tour.yaml").write_text(
        (folder / "tour.yaml").read_text("utf-8").replace("limiter_db: -18", "limiter_db: -20"), "utf-8"
    )
    status = repository.run(folder, "status", "--porcelain").stdout
    done = planlint("mark-good", SHOW, cwd=folder, env=repository.ENV)
    assert done.returncode == 0, done.stderr
    assert "marked good" in done.stdout
    assert repository.run(folder, "status", "--porcelain").stdout == status
    assert repository.run(folder, "rev-parse", "HEAD").stdout.strip() == before
    same = planlint("diff", "--since-good", SHOW, cwd=folder)
    assert same.returncode == 0, same.stdout
    repository.commit(folder)
    (folder / "tour.yaml").write_text(
        (folder / "tour.yaml").read_text("utf-8").replace("limiter_db: -20", "limiter_db: -16"), "utf-8"
    )
    (folder / SHOW).write_text(VENUE.replace("503.300", "511.300"), "utf-8")
    repository.commit(folder)
    done = planlint("diff", "--since-good", "a.yaml", "--format", "json", cwd=folder / "venues")
    changes = {change["pointer"]: (change["old"], change["new"]) for change in json.loads(done.stdout)["changes"]}
    assert changes == {"/carriers/ear-2/carrier_mhz": (503.3, 511.3), "/pack_defaults/limiter_db": (-20, -16)}
    assert planlint("mark-good", SHOW, cwd=folder, env=repository.ENV).returncode == 0
    assert planlint("diff", "--since-good", SHOW, cwd=folder).returncode == 0


def test_a_plan_can_be_marked_before_the_first_commit(folder: Path) -> None:
    assert planlint("mark-good", SHOW, cwd=folder, env=repository.ENV).returncode == 0
    (folder / SHOW).write_text(VENUE.replace("503.300", "511.300"), "utf-8")
    assert planlint("diff", "--since-good", SHOW, cwd=folder).returncode == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["diff", "--since-good", SHOW], "no state of venues/a.yaml was marked good"),
        (["mark-good", "venues/none.yaml"], "no such file"),
        (["mark-good", "tour.yaml"], "a venue or plan"),
    ],
)
def test_what_cannot_be_marked_or_found(words: list[str], says: str, folder: Path) -> None:
    done = planlint(*words, cwd=folder, env=repository.ENV)
    assert done.returncode == 2
    assert says in done.stderr


def test_the_drivers_never_read_the_folder_they_run_in(folder: Path) -> None:
    """A repository may hold a folder that is called planlint, or a module that is called like one of Python's."""
    setup(folder)
    (folder / "planlint").mkdir()
    (folder / "planlint/__init__.py").write_text("raise SystemExit(9)\n", "utf-8")
    (folder / "json.py").write_text("raise SystemExit(9)\n", "utf-8")
    repository.commit(folder)
    (folder / SHOW).write_text(VENUE.replace("503.300", "511.300"), "utf-8")
    assert "511.300" in repository.run(folder, "diff", "--", SHOW).stdout
    assert sys.executable in repository.run(folder, "config", "merge.planlint.driver").stdout
