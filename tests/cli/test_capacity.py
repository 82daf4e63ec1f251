"""`planlint capacity` as its users run it: its JSON keeps its schema, and text and JSON say the same."""

from __future__ import annotations

import json
import shutil
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.cli.command import planlint

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = json.loads((ROOT / "schemas/capacity.schema.json").read_text("utf-8"))
CHURCH = ("services/2027-09-05-sunday.yaml", "services/2027-09-08-school-hall.yaml")


@pytest.fixture(scope="module")
def church(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tour") / "church"
    shutil.copytree(ROOT / "examples/willow-court", folder)
    (folder / ".planlint.yaml").write_text("root: true\n", "utf-8")
    return folder


@pytest.fixture(scope="module")
def answer(church: Path) -> dict[str, Any]:
    found = planlint("capacity", CHURCH[0], "--seconds", "4", "--format", "json", cwd=church)
    assert found.returncode == 0, found.stderr
    assert found.stderr == ""
    document: dict[str, Any] = json.loads(found.stdout)
    return document


def test_the_schema_is_one(answer: dict[str, Any]) -> None:
    """Source: JSON Schema 2020-12 metaschema, as the jsonschema library ships it."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(answer, SCHEMA)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**answer, "kinds": [{**answer["kinds"][0], "more": 1}]}, SCHEMA)


def test_what_more_fits_check_accepts(church: Path, answer: dict[str, Any], tmp_path: Path) -> None:
    """Every link found, written into the plan as one more: no rule that assign keeps finds anything new."""
    shutil.copytree(church, tmp_path / "church")
    for one in answer["kinds"]:
        assert one["now"]["found"] == len(one["now"]["carriers_hz"])
        assert one["now"]["found"] <= one["now"]["at_most"]
        more = {f"more-{index}": hz for index, hz in enumerate(one["now"]["carriers_hz"])}
        _with(tmp_path / "church", one["kind"], more)
        checked = planlint("check", CHURCH[0], "--format", "json", cwd=tmp_path / "church")
        findings = json.loads(checked.stdout)["findings"]
        wrong = [one["message"] for one in findings if _carrier_rule(one["rule"]) and one["severity"] != "note"]
        assert wrong == []
        shutil.copytree(church, tmp_path / "church", dirs_exist_ok=True)


def _with(folder: Path, kind: str, more: dict[str, int]) -> None:
    """Write further links into the tour and their carriers into the show; they are on the whole day."""
    tour, show = folder / "tour.yaml", folder / CHURCH[0]
    links = "".join(f"  {name}: {{kind: {kind}}}\n" for name in more)
    tour.write_text(tour.read_text("utf-8").replace("\nlinks:\n", f"\nlinks:\n{links}"), "utf-8")
    carriers = "".join(f"  {name}: {{carrier_mhz: {Decimal(hz) / 1_000_000:.3f}}}\n" for name, hz in more.items())
    show.write_text(show.read_text("utf-8").replace("\ncarriers:\n", f"\ncarriers:\n{carriers}"), "utf-8")


def _carrier_rule(rule: str) -> bool:
    names = ("same-carrier-twice", "spacing-too-close", "ears-near-mics-band", "occupied-tv-channel", "tv-edge-guard")
    return rule in (*names, "others-on-air-collision", "carrier-outside-band") or rule.startswith("intermod-")


def test_each_date_of_the_tour_stands(church: Path, answer: dict[str, Any], tmp_path: Path) -> None:
    """The sets for the fewest touches, written into the venue files: check finds nothing about carriers."""
    shutil.copytree(church, tmp_path / "church")
    touches = answer["tour"]["touches"]
    assert touches["proven"]
    assert (
        touches["found"] == sum(change["touches"] for change in touches["changes"]) <= answer["tour"]["written_touches"]
    )
    for one in touches["sets"]:
        show = tmp_path / "church" / one["plan"]
        lines = show.read_text("utf-8").splitlines()
        for number, line in enumerate(lines):
            name = line.strip().split(":")[0]
            if name in one["carriers_hz"] and "carrier_mhz:" in line:
                mhz = f"{Decimal(one['carriers_hz'][name]) / 1_000_000:.3f}"
                before, after = line.split("carrier_mhz: ")
                lines[number] = f"{before}carrier_mhz: {mhz}{after[after.index(',') :]}"
        show.write_text("\n".join(lines) + "\n", "utf-8")
        checked = json.loads(planlint("check", one["plan"], "--format", "json", cwd=tmp_path / "church").stdout)
        assert [one for one in checked["findings"] if _carrier_rule(one["rule"]) and one["severity"] != "note"] == []


def test_text_says_what_json_says(church: Path) -> None:
    words = ("capacity", CHURCH[0], "--kind", "ear", "--seconds", "2", "--seed", "3")
    text = planlint(*words, cwd=church).stdout
    assert "found " in text
    assert "  mic  " not in text[: text.index("The tour")]
    for part in (
        "lower half only",
        "the region's whole band",
        "Tonight's live set taken to every venue",
        "TV: a live TV",
    ):
        assert part in text
    assert "as written                       17" in text
    assert "maximum" not in text


def test_a_plan_file_has_no_tour(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(
        "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_occupied: []}\n"
        "links: {a: {kind: ear, carrier_mhz: 500.000}}\n",
        "utf-8",
    )
    found = planlint("capacity", "p.yaml", "--seconds", "1", "--format", "json", "--root", tmp_path, cwd=tmp_path)
    document = json.loads(found.stdout)
    jsonschema.validate(document, SCHEMA)
    assert found.returncode == 0
    assert document["tour"] is None
    assert "stands alone" in document["no_tour"]
    assert [one["kind"] for one in document["kinds"]] == ["ear"]
    assert any("no tuning range" in text for text in document["kinds"][0]["assumed"])


@pytest.mark.parametrize(
    "words", [("none.yaml",), ("p.yaml", "--kind", "horn"), ("p.yaml", "--seconds", "-1"), ("t.yaml",)]
)
def test_wrong_use(tmp_path: Path, words: tuple[str, ...]) -> None:
    (tmp_path / "p.yaml").write_text("plan_format: 1\nkind: plan\n", "utf-8")
    (tmp_path / "t.yaml").write_text("plan_format: 1\nkind: tour\n", "utf-8")
    assert planlint("capacity", *words, "--root", tmp_path, cwd=tmp_path).returncode == 2
