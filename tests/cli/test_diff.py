"""`planlint diff` as its users run it: exit codes as `diff` has them, sides by path, revision and date."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from planlint.schema.store import schema
from tests.cli.command import planlint
from tests.diff.shows import VENUE, lay_out, replaced
from tests.git import repository

SHOW = "venues/a.yaml"


def write(folder: Path, name: str, edits: dict[str, str]) -> None:
    (folder / name).write_text(replaced((folder / name).read_text("utf-8"), edits), "utf-8")


def test_nothing_differs(tmp_path: Path) -> None:
    lay_out(tmp_path)
    done = planlint("diff", SHOW, SHOW, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "No difference" in done.stdout


def test_something_differs(tmp_path: Path) -> None:
    lay_out(tmp_path)
    (tmp_path / "venues/b.yaml").write_text(VENUE.replace("503.300", "503.325"), "utf-8")
    for form in ("text", "json", "markdown"):
        assert planlint("diff", SHOW, "venues/b.yaml", "--format", form, cwd=tmp_path).returncode == 1
    data = json.loads(planlint("diff", SHOW, "venues/b.yaml", "--format", "json", cwd=tmp_path).stdout)
    Draft202012Validator(schema("diff")).validate(data)
    assert list(data["touch"]) == ["PK-10", "PK-2", "TX-2"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["venues/a.yaml"], "two plan files"),
        (["venues/a.yaml", "venues/none.yaml"], "no such file"),
        (["venues", "venues/a.yaml"], "is a folder"),
        (["notes.yaml", "venues/a.yaml"], "no plan file"),
        (["broken.yaml", "venues/a.yaml"], "broken.yaml"),
        (["alone.yaml", "venues/a.yaml"], "uses"),
        (["--previous", "--since-good", "venues/a.yaml"], "use one of them"),
        (["--previous", "venues/a.yaml"], "no show of its tour before 2026-05-01"),
        (["HEAD:venues/a.yaml", "venues/a.yaml"], "no git repository"),
    ],
)
def test_wrong_use_is_2_and_says_what_to_do(words: list[str], says: str, tmp_path: Path) -> None:
    lay_out(tmp_path)
    (tmp_path / "notes.yaml").write_text("a: 1\n", "utf-8")
    if "broken.yaml" in words:
        (tmp_path / "broken.yaml").write_text("plan_format: 1\nkind: plan\nlinks: {\n", "utf-8")
    (tmp_path / "alone.yaml").write_text("plan_format: 1\nkind: venue\nuses: [none.yaml]\n", "utf-8")
    done = planlint("diff", *words, cwd=tmp_path, env={"GIT_CEILING_DIRECTORIES": str(tmp_path.parent)})
    assert done.returncode == 2, done.stderr
    assert says in done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr


def test_each_side_has_the_tour_of_its_own_revision(tmp_path: Path) -> None:
    lay_out(tmp_path)
    repository.new(tmp_path)
    repository.commit(tmp_path)
    write(tmp_path, "tour.yaml", {"limiter_db: -18": "limiter_db: -15"})
    repository.commit(tmp_path)
    write(tmp_path, SHOW, {"503.300": "503.325"})
    between = json.loads(planlint("diff", f"HEAD~1:{SHOW}", f"HEAD:{SHOW}", "--format", "json", cwd=tmp_path).stdout)
    assert [change["pointer"] for change in between["changes"]] == ["/pack_defaults/limiter_db"]
    now = json.loads(planlint("diff", "HEAD:./a.yaml", "a.yaml", "--format", "json", cwd=tmp_path / "venues").stdout)
    assert [change["pointer"] for change in now["changes"]] == ["/carriers/ear-2/carrier_mhz"]
    assert now["findings"]["new"] == []


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("nowhere:venues/a.yaml", "no revision is called 'nowhere'"),
        ("--output=x:venues/a.yaml", "such option"),
        ("HEAD:venues/b.yaml", "no such YAML file as of HEAD"),
        ("HEAD:../out.yaml", "no such YAML file"),
    ],
)
def test_a_revision_that_is_none(word: str, says: str, tmp_path: Path) -> None:
    lay_out(tmp_path)
    repository.new(tmp_path)
    repository.commit(tmp_path)
    done = planlint("diff", word, SHOW, cwd=tmp_path)
    assert done.returncode == 2
    assert says in done.stderr.replace("\n", " ")


def test_a_link_in_a_revision_that_leads_out_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.yaml").write_text("plan_format: 1\nkind: models\nmodels: {m: {role: ear-pack}}\n", "utf-8")
    inside = lay_out(tmp_path / "repo")
    (inside / "models.yaml").unlink()
    (inside / "models.yaml").symlink_to(tmp_path / "secret.yaml")
    repository.new(inside)
    repository.commit(inside)
    done = planlint("diff", f"HEAD:{SHOW}", f"HEAD:{SHOW}", cwd=inside)
    assert done.returncode == 2
    assert "could not be resolved" in done.stderr


def test_the_show_before_by_date_and_what_was_found_there(tmp_path: Path) -> None:
    lay_out(tmp_path)
    later = replaced(VENUE, {"2026-05-01": "2026-05-08", "id: a,": "id: b,"})
    earlier = replaced(VENUE, {"2026-05-01": "2026-04-24", "id: a,": "id: c,", "503.300": "509.300"})
    (tmp_path / "venues/b.yaml").write_text(later, "utf-8")
    (tmp_path / "venues/c.yaml").write_text(earlier, "utf-8")
    plain = json.loads(planlint("diff", "--previous", "venues/b.yaml", "--format", "json", cwd=tmp_path).stdout)
    assert {change["pointer"] for change in plain["changes"]} == {"/show/date", "/show/id"}
    assert plain["touch"] == {}
    record = "plan_format: 1\nkind: as-set\nuses: [../venues/a.yaml]\nfound: {PK-2: {limiter_db: -30}, PK-S: {volume: unknown}}\n"
    (tmp_path / "as-set").mkdir()
    (tmp_path / "as-set/a.yaml").write_text(record, "utf-8")
    found = json.loads(planlint("diff", "--previous", "venues/b.yaml", "--format", "json", cwd=tmp_path).stdout)
    assert found["touch"] == {"PK-2": ["limiter_db"], "PK-S": ["volume"]}
    said = planlint("diff", "--previous", "venues/b.yaml", cwd=tmp_path).stdout
    assert "what was found" in said
    assert "limiter -30 → -18 dB" in " ".join(said.split())
    assert "read it first: PK-S" in said
    assert (
        planlint("diff", "as-set/a.yaml", SHOW, cwd=tmp_path).returncode == 1
    )  # the plan is the same, the units are not


def _old_show(text: str) -> str:
    ids: list[str] = [change["old"] for change in json.loads(text)["changes"] if change["pointer"] == "/show/id"]
    return ids[0]


def test_a_broken_file_does_not_hide_the_show_before(tmp_path: Path) -> None:
    lay_out(tmp_path)
    venues = {"b": "2026-05-08", "c": "2026-04-24", "torn": "2026-05-04", "old": "2026-04-01", "next": "2026-06-01"}
    for name, date in venues.items():
        text = replaced(VENUE, {"2026-05-01": date, "id: a,": f"id: {name},"})
        (tmp_path / f"venues/{name}.yaml").write_text(text, "utf-8")
    before = planlint("diff", "--previous", "venues/b.yaml", "--format", "json", cwd=tmp_path)
    assert before.stderr == ""
    assert _old_show(before.stdout) == "torn"
    for name in ("torn", "old", "next"):  # a folder of a venue that is not there: read, dated, and not to be judged
        path = tmp_path / f"venues/{name}.yaml"
        path.write_text(path.read_text("utf-8").replace("uses: [", "uses: [none.yaml, "), "utf-8")
    (tmp_path / "torn-up.yaml").write_text("plan_format: 1\nkind: venue\nuses: [tour.yaml]\nshow: {date: [\n", "utf-8")
    found = planlint("diff", "--previous", "venues/b.yaml", "--format", "json", cwd=tmp_path)
    assert _old_show(found.stdout) == "a"
    assert [line.split(": ")[1] for line in found.stderr.splitlines()] == [
        "passed over venues/torn.yaml", "passed over torn-up.yaml",
    ]  # fmt: skip
    first = planlint("diff", "--previous", "venues/c.yaml", cwd=tmp_path)
    assert first.returncode == 2
    assert "no show of its tour before 2026-04-24" in first.stderr
    assert "passed over: venues/old.yaml (its uses could not be resolved), torn-up.yaml" in first.stderr


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        ({"503.300": "503.325"}, 0),  # another carrier, no finding
        ({"503.300": "501.050"}, 1),  # too close to ear-1
        ({"503.300, power_mw: 9": "503.300, power_mw: 27"}, 1),
        ({"503.300, power_mw: 9": "503.300, power_mw: 3"}, 0),
        ({"[15, 16]": "[15, 16, 19]"}, 1),
    ],
)
def test_fail_on_risk(edit: dict[str, str], code: int, tmp_path: Path) -> None:
    lay_out(tmp_path)
    (tmp_path / "venues/b.yaml").write_text(replaced(VENUE, edit), "utf-8")
    done = planlint("diff", SHOW, "venues/b.yaml", "--fail-on", "risk", cwd=tmp_path)
    assert done.returncode == code, done.stdout
    assert ("For --fail-on risk" in done.stdout) == bool(code)


def test_the_same_bytes_whatever_the_hash_seed_and_locale(tmp_path: Path) -> None:
    lay_out(tmp_path)
    (tmp_path / "venues/b.yaml").write_text(VENUE.replace("503.300", "503.325").replace("9}", "27}"), "utf-8")
    outputs = {
        planlint("diff", SHOW, "venues/b.yaml", cwd=tmp_path, env={"PYTHONHASHSEED": seed, "LANG": "C"}).stdout
        for seed in ("0", "1", "77")
    }
    assert len(outputs) == 1
