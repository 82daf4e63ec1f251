"""Real answers of the commands about one plan are what their schemas say; the schemas let nothing else through.

The judge is the jsonschema library (JSON Schema 2020-12).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from planlint.cli.app import app
from planlint.schema import store
from tests.examples.shows import BROKEN, CLEAN, Example, read

SHOWS = [
    pytest.param(example, show, id=f"{name}-{show.stem}")
    for name, example in {**CLEAN, **BROKEN}.items()
    for show in example.files()[:1]
]
NAMES = ("spares", "why", "what-if", "move", "levels", "weak-spots")


def _ask(name: str, show: Path, root: Path, *words: str, codes: tuple[int, ...] = (0,)) -> dict[str, Any] | None:
    done = CliRunner().invoke(app, [name, str(show), *words, "--root", str(root), "--format", "json"])
    assert done.exit_code in codes, (done.exit_code, done.output, done.exception)
    if not done.stdout:
        return None
    document: dict[str, Any] = json.loads(done.stdout)
    errors = Draft202012Validator(store.schema(name)).iter_errors(document)
    assert [f"{error.json_path}: {error.message}" for error in errors] == []
    return document


@pytest.mark.parametrize(("example", "show"), SHOWS)
def test_answers_about_a_show(example: Example, show: Path) -> None:
    root, links = example.folder, read(example.folder / example.tour)["links"]
    own = {**{name: link for name, link in links.items() if "carrier_mhz" in link}, **read(show).get("carriers", {})}
    placed = [name for name in sorted(links) if "carrier_mhz" in own.get(name, {})]
    first = {links[name]["kind"]: name for name in reversed(placed)}
    assert {"ear", "mic"} <= first.keys()
    for kind, name in first.items():
        carrier = own[name]["carrier_mhz"]
        if kind in {"ear", "mic"}:
            spares = _ask("spares", show, root, "--kind", kind, "--count", "2", codes=(0, 1))
            assert spares is not None
            assert spares["asked"] == 2
            assert len(spares["carriers"]) <= spares["at_most"] <= 2
        here = _ask("why", show, root, carrier, "--link", name, codes=(0, 1))
        there = _ask("why", show, root, "500.001", "--link", name, codes=(0, 1))
        assert here is not None
        assert there is not None
        assert here["links"][0]["link"] == there["links"][0]["link"] == name
        way = _ask("move", show, root, name, codes=(0, 1))
        assert way is not None
        assert (way["carrier_hz"] is None) == (not way["steps"]) == (way["minutes"] == 0)
        other = own[next(one for one in placed if one != name and own[one]["carrier_mhz"] != carrier)]["carrier_mhz"]
        change = _ask("what-if", show, root, "--add", "532.050", "--add", other, "--off", name, codes=(0, 1))
        assert change is not None
        assert change["off"] == [name]
        assert change["new"], "a guest on a carrier of ours is no news"
    every = _ask("why", show, root, own[placed[0]]["carrier_mhz"], codes=(0, 1))
    assert every is not None
    assert len(every["links"]) >= len(placed)
    assert _ask("levels", show, root) is not None
    assert _ask("weak-spots", show, root) is not None


@pytest.mark.parametrize("name", NAMES)
def test_schemas_are_closed_and_described(name: str) -> None:
    schema = store.schema(name)
    Draft202012Validator.check_schema(schema)
    assert schema["$id"] == f"urn:planlint:schema:1:{name}"
    assert schema["title"]
    objects = list(_objects(schema))
    assert objects
    for one in objects:
        assert one["additionalProperties"] is False
        assert set(one["required"]) == one["properties"].keys()
        for key, value in one["properties"].items():
            assert "$ref" in value or value["description"].endswith("."), key
    empty = {"format": 1, "plan": "p.yaml"}
    assert list(Draft202012Validator(schema).iter_errors(empty)), "nothing may be left out"


def _objects(schema: object) -> list[dict[str, Any]]:
    if isinstance(schema, list):
        return [one for item in schema for one in _objects(item)]
    if not isinstance(schema, dict):
        return []
    inner = [one for value in schema.values() for one in _objects(value)]
    return [schema, *inner] if schema.get("type") == "object" and "properties" in schema else inner


def test_where_no_carrier_passes_the_document_says_so(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(
        "plan_format: 1\nkind: plan\nshow: {region: us}\nspectrum: {tv_raster: us-6mhz, tv_occupied: [20]}\n"
        "models: {t: {role: ear-transmitter, tuning_mhz: [{low: 507.000, high: 509.000}], step_khz: 25}}\n"
        "devices: {A: {model: t}}\nlinks: {a: {kind: ear, tx: A, carrier_mhz: 508.000}}\n",
        "utf-8",
    )
    way = _ask("move", tmp_path / "p.yaml", tmp_path, "a", codes=(1,))
    assert way is not None
    assert (way["old_hz"], way["carrier_hz"], way["steps"]) == (508_000_000, None, [])
    assert "occupied-tv-channel" in way["notes"][0]
