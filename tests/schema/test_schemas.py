"""The schemas in schemas/: portable, closed, described, and in agreement with the plan format's samples."""

import ast
import copy
import ipaddress
import json
import re
from collections.abc import Iterator
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from planlint.schema import kinds

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "schemas"
DIALECT = "https://json-schema.org/draft/2020-12/schema"
STRUCTURE = {
    *(
        "type",
        "const",
        "enum",
        "pattern",
        "minimum",
        "maximum",
        "required",
        "properties",
        "additionalProperties",
    ),
    *("propertyNames", "patternProperties", "items", "anyOf", "if", "then", "$defs", "$ref"),
}
ANNOTATIONS = {"$schema", "$id", "title", "description", "examples", "x-unit"}
SCALARS = ("string", "number", "integer", "boolean")
NAMES = (*kinds.KINDS, "findings", "diff", "config")
UNIT_OF_SUFFIX = {  # the plan format's suffixes, longest first, and two of the same form: days and dBu
    "_db_spl_per_mw": "dB SPL/mW",
    "_min_per_unit": "min/unit",
    "_db_spl": "dB SPL",
    "_days": "d",
    "_dbm": "dBm",
    "_dbi": "dBi",
    "_dbv": "dBV",
    "_dbu": "dBu",
    "_khz": "kHz",
    "_mhz": "MHz",
    "_pct": "%",
    "_ohm": "ohm",
    "_deg": "deg",
    "_min": "min",
    "_hz": "Hz",
    "_mw": "mW",
    "_db": "dB",
    "_m": "m",
    "_h": "h",
}


def load(name: str) -> dict[str, Any]:
    content: dict[str, Any] = json.loads((FOLDER / f"{name}.schema.json").read_text(encoding="utf-8"))
    return content


SCHEMAS = {name: load(name) for name in NAMES}
PLAN = SCHEMAS["plan"]
DEFAULTS: dict[str, dict[str, Any]] = json.loads((FOLDER / "defaults.json").read_text("utf-8"))["defaults"]


def children(schema: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """The schemas directly within one, each with the keyword and key that hold it."""
    for keyword in ("properties", "patternProperties", "$defs"):
        for key, child in schema.get(keyword, {}).items():
            yield keyword, key, child
    for keyword in ("additionalProperties", "propertyNames", "items", "if", "then"):
        if isinstance(schema.get(keyword), dict):
            yield keyword, keyword, schema[keyword]
    for index, child in enumerate(schema.get("anyOf", ())):
        yield "anyOf", str(index), child


def walk(schema: dict[str, Any], keyword: str = "", where: str = "") -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every schema at any depth: the keyword that holds it, its place, itself."""
    yield keyword, where, schema
    for inner, key, child in children(schema):
        yield from walk(child, inner, f"{where}/{inner}/{key}")


def resolve(root: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in schema:
        schema = root["$defs"][schema["$ref"].removeprefix("#/$defs/")]
    return schema


def branches(root: dict[str, Any], schema: dict[str, Any]) -> list[dict[str, Any]]:
    schema = resolve(root, schema)
    if "anyOf" in schema:
        return [leaf for branch in schema["anyOf"] for leaf in branches(root, branch)]
    return [schema]


def is_number(root: dict[str, Any], schema: dict[str, Any]) -> bool:
    return any(branch.get("type") in ("number", "integer") for branch in branches(root, schema))


# ------------------------------------------------------------------------------------------------ form


@pytest.mark.parametrize("name", NAMES)
def test_valid_against_the_published_metaschema(name: str) -> None:
    """Source: JSON Schema 2020-12 metaschema, as the jsonschema library ships it."""
    Draft202012Validator.check_schema(SCHEMAS[name])
    assert SCHEMAS[name]["$schema"] == DIALECT


@pytest.mark.parametrize("name", NAMES)
def test_portable_keywords_only(name: str) -> None:
    for _, where, schema in walk(SCHEMAS[name]):
        assert set(schema) <= STRUCTURE | ANNOTATIONS, where
        if "$ref" in schema:
            assert set(schema) == {"$ref"}, where
            assert schema["$ref"].startswith("#/$defs/"), where
        if "pattern" in schema:  # meaning the same in Python and in ECMA-262
            re.compile(schema["pattern"])
            escapes = schema["pattern"].replace("\\\\", "")
            assert not re.search(r"\(\?|\\[^S.]", escapes), where


@pytest.mark.parametrize("name", NAMES)
def test_any_of_joins_scalars_and_lists_of_ids(name: str) -> None:
    root = SCHEMAS[name]
    for _, where, schema in walk(root):
        for branch in schema.get("anyOf", ()):
            target = resolve(root, branch)
            assert "anyOf" not in target, where
            if target.get("type") == "array":
                assert resolve(root, target["items"])["type"] == "string", where
            else:
                assert {"const", "enum"} & set(target) or target["type"] in SCALARS, where


@pytest.mark.parametrize("name", NAMES)
def test_every_value_states_its_type(name: str) -> None:
    """Text is bounded by words or a pattern; only a waiver's reason may be empty, for a rule to judge."""
    root = SCHEMAS[name]
    for keyword, where, schema in walk(root):
        target = resolve(root, schema)
        if keyword in ("anyOf", "propertyNames"):
            continue
        assert {"type", "anyOf", "const"} & set(target), where
        assert ("items" in target) == (target.get("type") == "array"), where
        if target.get("type") == "string":
            may_be_empty = where.rpartition("/")[0].endswith(("/waiver/properties", "/waived/properties"))
            assert may_be_empty or "enum" in target or "pattern" in target, where


@pytest.mark.parametrize("name", NAMES)
def test_every_object_is_closed(name: str) -> None:
    found = 0
    for _, where, schema in walk(SCHEMAS[name]):
        if "object" in schema.get("type", ()) or "properties" in schema:
            found += 1
            rest = schema.get("additionalProperties")
            assert rest is False or (isinstance(rest, dict) and "propertyNames" in schema), where
    assert found > 1


@pytest.mark.parametrize("name", NAMES)
def test_every_definition_is_used(name: str) -> None:
    refs = {schema["$ref"] for _, _, schema in walk(SCHEMAS[name]) if "$ref" in schema}
    assert refs == {f"#/$defs/{definition}" for definition in SCHEMAS[name]["$defs"]}


@pytest.mark.parametrize("name", NAMES)
def test_every_key_is_described_with_examples_that_are_valid(name: str) -> None:
    root = SCHEMAS[name]
    described = ("properties", "patternProperties", "additionalProperties", "items", "$defs")
    for keyword, where, schema in walk(root):
        if keyword not in described:
            continue
        target = resolve(root, schema)
        assert target.get("title", "").strip(), where
        assert target.get("description", "").strip().endswith("."), where
        assert target.get("examples"), where
        validator = Draft202012Validator({"$schema": DIALECT, "$defs": root["$defs"], **target})
        for example in target["examples"]:
            assert [error.message for error in validator.iter_errors(example)] == [], where


def test_no_wording_claims_a_clean_bill() -> None:
    claim = re.compile(r"\b(safe|safely|safety|legal|legally|compliant|compliance|certified)\b", re.IGNORECASE)
    for path in sorted(FOLDER.glob("*.json")):
        assert claim.search(path.read_text(encoding="utf-8")) is None, path.name


# ----------------------------------------------------------------------------------------------- units


def suffix_unit(key: str) -> str | None:
    return next((unit for suffix, unit in UNIT_OF_SUFFIX.items() if key.endswith(suffix)), None)


def values(
    root: dict[str, Any], schema: dict[str, Any], where: str = "", unit: str | None = None
) -> Iterator[tuple[str, str | None, dict[str, Any]]]:
    """Every value a document may hold: its path, the unit its path gives it, its resolved schema."""
    schema = resolve(root, schema)
    yield where, unit, schema
    for keyword, key, child in children(schema):
        if keyword == "properties":
            yield from values(root, child, f"{where}/{key}", suffix_unit(key) or unit)
        elif keyword in ("additionalProperties", "items", "patternProperties"):
            yield from values(root, child, f"{where}/*", unit)


@pytest.mark.parametrize("kind", kinds.KINDS)
def test_every_quantity_states_its_unit_and_its_plausible_range(kind: str) -> None:
    quantities = 0
    for where, unit, schema in values(SCHEMAS[kind], SCHEMAS[kind]):
        key = where.rsplit("/", 1)[-1]
        assert schema.get("x-unit") == unit, where
        if not is_number(SCHEMAS[kind], schema) or where == "/waivers/*/accept/*" or key == "plan_format":
            continue
        quantities += 1
        for branch in branches(SCHEMAS[kind], schema):
            if branch.get("type") in ("number", "integer"):
                assert branch["minimum"] < branch["maximum"], where
    assert quantities >= 5


def errors_at(kind: str, path: str, value: object) -> list[str]:
    """Messages of the errors at a path ("/links/a/power_mw"; a segment 0 is a list's item) or below it."""
    segments: list[str | int] = [0 if part == "0" else part for part in path.strip("/").split("/")]
    inner = value
    for segment in reversed(segments):
        inner = [inner] if segment == 0 else {segment: inner}
    assert isinstance(inner, dict)
    document = {"plan_format": 1, "kind": kind, **inner}
    found = Draft202012Validator(SCHEMAS[kind]).iter_errors(document)
    return [error.message for error in found if list(error.absolute_path)[: len(segments)] == segments]


NEIGHBOUR_UNITS = [
    ("plan", "/links/a/carrier_mhz", [505300, 0.5053, 505300000]),  # kHz, GHz, Hz
    ("venue", "/carriers/a/carrier_mhz", [478200, 0.4782]),
    ("venue", "/spares_mhz/ear/0", [502700, 0.5027]),
    ("venue", "/spectrum/others_on_air/a/emission_khz", [0.2, 200000]),  # MHz, Hz
    ("venue", "/spectrum/tv_occupied/0", [482, 0]),  # the channel's edge in MHz for its number
    ("plan", "/links/a/power_mw", [0.01, 0.05, 0.1, 0.25, 50000]),  # W, uW
    ("models", "/models/a/powers_mw/0", [0.005, 0.03]),
    ("models", "/models/a/step_khz", [0.025, 25000]),
    ("models", "/models/a/emission_khz", [0.18, 180000]),
    ("models", "/models/a/tuning_mhz/0/low", [478000, 0.478]),
    ("models", "/models/a/passband_mhz/low", [470000, 0.47]),
    ("models", "/models/a/first_if_mhz", [110600]),
    ("models", "/models/a/cells/run_h/alkaline", [540]),  # minutes
    ("tour", "/policy/scan/max_age_h", [1440]),  # minutes
    ("tour", "/policy/scan/max_step_khz", [0.1, 100000]),
    ("tour", "/policy/hands_min_per_unit", [90, 0.025]),  # seconds, hours
    ("tour", "/policy/floor_dbm/usable", [80]),  # sign forgotten
    ("tour", "/policy/spacing_khz/ear_to_ear", [450000]),
    ("tour", "/pack_defaults/limiter_db", [12]),  # sign forgotten
    ("tour", "/pack_defaults/low_cut_hz", [0.08]),
    ("tour", "/pack_defaults/high_cut_khz", [10000]),
    ("tour", "/earphones/a/impedance_ohm", [0.024, 24000]),
    ("venue", "/reach/default_m", [1200, 12000]),  # cm, mm
    ("venue", "/show/stage_depth_m", [1200]),
    ("venue", "/scans/a/resolution_khz", [0.1, 100000]),
    ("region", "/rows/a/power_mw", [0.05, 0.25]),
    ("region", "/rows/a/max_emission_khz", [0.2]),
    ("region", "/rows/a/low_mhz", [470000, 0.47]),
]


@pytest.mark.parametrize(("kind", "path", "wrong"), NEIGHBOUR_UNITS)
def test_a_value_in_the_neighbouring_unit_is_outside_the_range(kind: str, path: str, wrong: list[float]) -> None:
    for value in wrong:
        assert errors_at(kind, path, value), value


REAL_PRACTICE = [
    # Band edges of 47 CFR 74.802(a), 2019 edition: the widest span of carriers there is.
    ("venue", "/carriers/a/carrier_mhz", [26.1, 26.48, 161.775, 470, 608, 941.5, 1525, 6875, 7125]),
    # 50 mW, 250 mW, 1 W: 47 CFR 74.861(d)(1) and (e)(1), 2015 edition. 5 W: common practice, no source.
    ("venue", "/carriers/a/power_mw", [1, 2, 10, 50, 250, 1000, 5000]),
    ("region", "/rows/a/power_mw", [0.75, 20, 50, 100, 250, 1000]),
    # Channel widths of EN 300 422-1 and 20 MHz for wideband systems: from memory, not verified.
    ("models", "/models/a/emission_khz", [50, 75, 100, 150, 200, 250, 400, 600, 20000]),
    # Steps: 25 kHz of 47 CFR 74.802(c), 2015 edition; the others common practice, no source.
    ("models", "/models/a/step_khz", [1, 5, 6.25, 8.333, 12.5, 25, 50, 100, 125]),
    # TV channels 2 to 36 of 47 CFR 73.603 (2021 edition); 21 to 48 in Europe: from memory, not verified.
    ("venue", "/spectrum/tv_occupied/0", [2, 14, 36, 48, 69]),
    # Common practice, no source, from here on.
    ("venue", "/spectrum/others_on_air/a/emission_khz", [6.25, 12.5, 25, 200, 1728]),
    ("tour", "/pack_defaults/limiter_db", [-24, -12, 0, 6, "none"]),
    ("tour", "/earphones/a/sensitivity_db_spl_per_mw", [95, 100, 112, 124]),
    ("tour", "/earphones/a/impedance_ohm", [8, 16, 24, 32, 600]),
    ("tour", "/policy/intermod_khz/three_signal_fifth", [0, 12.5, 25, 300]),
    ("tour", "/policy/spacing_khz/ear_to_mic", [350, 8000, 20000]),
    ("venue", "/apart_m/a/b", [0.06, 9, 120]),
    ("venue", "/antennas/a/coax/loss_db", [0, 1.2, 25]),
    ("venue", "/scans/a/resolution_khz", [1, 3, 10, 30, 100, 200, 300]),
    ("models", "/models/a/loss_db", [-3, 0, 3.5, 6.5, 9.5]),
]


@pytest.mark.parametrize(("kind", "path", "right"), REAL_PRACTICE)
def test_real_practice_is_inside_the_range(kind: str, path: str, right: list[object]) -> None:
    for value in right:
        assert errors_at(kind, path, value) == [], value


# ------------------------------------------------------------------------------------------- kinds


@pytest.mark.parametrize("kind", kinds.KINDS)
def test_each_kind_follows_from_plan(kind: str) -> None:
    before = copy.deepcopy(PLAN)
    derived = kinds.derive(PLAN, kind)
    assert before == PLAN
    assert derived == SCHEMAS[kind]
    assert derived["properties"]["kind"]["const"] == kind
    assert set(derived["properties"]) == kinds.KEYS_OF_KIND[kind]


def test_written_files_equal_the_committed_ones(tmp_path: Path) -> None:
    (tmp_path / "plan.schema.json").write_bytes((FOLDER / "plan.schema.json").read_bytes())
    kinds.write_derived(tmp_path)
    written = sorted(tmp_path.iterdir())
    assert [path.name for path in written] == sorted(f"{kind}.schema.json" for kind in kinds.KINDS)
    for path in written:
        assert path.read_bytes() == (FOLDER / path.name).read_bytes(), path.name


def test_json_files_are_written_with_two_spaces() -> None:
    for path in sorted(FOLDER.glob("*.json")):
        text = path.read_text(encoding="utf-8")
        assert text == json.dumps(json.loads(text), indent=2, ensure_ascii=False) + "\n", path.name


def test_only_waivers_stand_in_two_kinds() -> None:
    common = {"plan_format", "kind", "uses"}
    parts = [keys - common for kind, keys in kinds.KEYS_OF_KIND.items() if kind != "plan"]
    shared = {key for part in parts for key in part if sum(key in other for other in parts) > 1}
    assert shared == {"waivers"}
    assert kinds.KEYS_OF_KIND["plan"] == common.union(*parts) == set(PLAN["properties"])
    assert set(kinds.HOLDS) == set(kinds.KINDS)


def test_a_tour_link_owns_no_carrier() -> None:
    owned = {"carrier_mhz", "power_mw", "self_tuned", "takes_channels"}
    assert owned <= set(PLAN["$defs"]["link"]["properties"])
    absent = set(PLAN["$defs"]["link"]["properties"]) - set(SCHEMAS["tour"]["$defs"]["link"]["properties"])
    assert absent == owned


def test_the_kinds_module_stays_light() -> None:
    assert kinds.__file__ is not None
    tree = ast.parse(Path(kinds.__file__).read_text(encoding="utf-8"))
    at_import = {node.module for node in tree.body if isinstance(node, ast.ImportFrom)}
    at_import |= {alias.name for node in tree.body if isinstance(node, ast.Import) for alias in node.names}
    assert at_import <= {"__future__", "typing"}


# ---------------------------------------------------------------------------------------- samples

SAMPLES = {
    "shortest": """
plan_format: 1
kind: plan
show: {region: us}
spectrum: {tv_occupied: [14, 16, 17]}
links:
  vox:   {kind: ear, carrier_mhz: 505.300}
  gtr:   {kind: ear, carrier_mhz: 506.125}
  drums: {kind: ear, carrier_mhz: 507.575}
""",
    "models": """
plan_format: 1
kind: models
models:
  ear-tx-n:
    role: ear-transmitter
    tuning_mhz: [{low: 478.000, high: 542.000}]
    step_khz: 25
    emission_khz: 180
    powers_mw: [5, 30]
    power_basis: conducted
    sends: [stereo, mono]
    groups: 4
  ear-pack-n:
    role: ear-pack
    tuning_mhz: [{low: 478.000, high: 542.000}]
    step_khz: 25
    decodes: [stereo, mono]
    ear_feed: [stereo, mono]
    squelch: [1, 2, 3, 4, 5]
    limiter_db: {low: -24, high: -3}
    limiter_ref: max_output
    max_output_dbv: -4
    antennas: [whip, ear-lead]
    cells: {size: AAA, count: 3, run_h: {alkaline: 9.0, nimh: 8.0}}
    needs_ci_db: {stereo: 25, mono: 15}
  hand-k: {role: mic-transmitter, worn: handheld, tuning_mhz: [{low: 550.000, high: 598.000}], step_khz: 25,
    emission_khz: 200, powers_mw: [2, 10, 25]}
  combiner-8: {role: combiner, active: true, ways: 8, loss_db: 0.0, isolation_db: 40,
    passband_mhz: {low: 470.000, high: 608.000}}
""",
    "tour": """
plan_format: 1
kind: tour
uses: [models.yaml]
tour: {id: st-spring, act: Saltmarsh Telegraph, region: us}
licences: {}
policy:
  spacing_khz: {ear_to_ear: 450, mic_to_mic: 450, ear_to_mic: 8000}
  intermod_khz: {two_signal_third: 100, three_signal_third: 50, two_signal_fifth: 50, three_signal_fifth: 0}
  floor_dbm: {usable: -80, clean: -92}
  tv_guard_khz: 100
  scan: {max_age_h: 24, max_step_khz: 100}
  link: {margin_db: 10, body_loss_db: 20}
  max_bare_antennas_per_rack: 3
  hearing: {ask_above_db_spl: 112}
  hands_min_per_unit: 1.5
people:
  vox: {does: lead singer, ears: moulded-24}
earphones:
  moulded-24: {sensitivity_db_spl_per_mw: 112, impedance_ohm: 24, lead_is_antenna: true}
pack_defaults: {decodes: stereo, ear_feed: stereo, balance_pct: 0, limiter_db: -12, gain_db: 0,
                low_cut_hz: none, high_cut_khz: none, volume: free, may_tune: any, controls: locked,
                cells: nimh}
racks:
  A: {holds: [TX-1, TX-7, CMB-A]}
devices:
  TX-1:  {model: ear-tx-n, label: "1 VOX", address: 10.0.4.11, into: CMB-A}
  PK-1:  {model: ear-pack-n, label: "1 VOX"}
  CMB-A: {model: combiner-8}
mixes:
  vox: {for: vox, width: stereo, desk_out: [1, 2]}
  g-a: {for: guest-a, width: mono, desk_out: [13]}
groups:
  G2: {stored_in: [TX-5, PK-5, PK-S], carriers_mhz: {1: 497.175, 2: 498.550, 3: 478.200}}
group_overrides_mhz:
  PK-5: {G2: {3: 478.300}}
links:
  ear-1: {kind: ear, tx: TX-1, sends: stereo, feed: {stereo: vox},
    packs: {PK-1: {person: vox}, PK-S: {stands_in_for: PK-1}}}
  ear-6: {kind: ear, tx: TX-6, sends: stereo, feed: {stereo: tech},
    packs: {PK-6: {person: mon, listens_to: [ear-1, ear-7]}}}
  ear-7:
    kind: ear
    tx: TX-7
    sends: stereo
    feed: {left: g-a, right: g-b}
    packs:
      PK-7L: {person: guest-a, ear_feed: mono, balance_pct: -100}
      PK-7R: {person: guest-b, ear_feed: mono, balance_pct: 100}
  mic-1: {kind: mic, mic: HH-1, rx: RX-1, person: vox, desk_in: 1}
  mic-2: {kind: mic, mic: HH-2, rx: RX-2, person: vox, desk_in: 2, stands_in_for: mic-1}
waivers:
  - {rule: spare-mic-shares-person, covers: [mic-2], because: lives on the riser switched off,
     by: monitor engineer, until: "2026-06-30"}
""",
    "venue": """
plan_format: 1
kind: venue
uses: [../tour.yaml]
show: {id: 2026-03-14-millrace, place: Millrace Hall, town: Weirbridge, date: "2026-03-14", indoor: true}
spectrum:
  tv_raster: us-6mhz
  tv_occupied: [14, 16, 17, 20]
  source: public TV listing for the town, checked 2026-03-02
  others_on_air:
    house-headset: {carrier_mhz: 528.050, emission_khz: 200, kind: comms, who: stage manager, may_move: false}
    news-crew: {carrier_mhz: 561.900, kind: mic, at: "18:30", until: "19:30", power_mw: 50}
scans:
  stage: {file: ../scans/2026-03-14-stage.csv, at: "2026-03-14T13:05", where: stage centre, for: ear,
          antenna: pack whip, resolution_khz: 100, own_rf: silent, guests_rf: silent, held: max}
carriers:
  ear-1: {carrier_mhz: 505.300, power_mw: 5}
  ear-5: {carrier_mhz: 478.200, power_mw: 5, stored: {G2: 3}}
  ear-6: {carrier_mhz: auto}
  ear-7: {unused: no guests tonight}
  mic-1: {carrier_mhz: 555.975, power_mw: 10, pinned: the house coordinator gave us this one}
spares_mhz: {ear: [502.700, 481.225], mic: [555.975]}
antennas:
  ear-out: {for: ear, through: CMB-A, coax: {kind: low-loss-10mm, length_m: 10, loss_db: 1.2}, gain_dbi: 6,
    where: stage left, height_m: 2.5}
  mic-a:   {for: mic, through: SPL-B, coax: {kind: low-loss-10mm, length_m: 10, loss_db: 1.2}, gain_dbi: 6,
    where: stage right}
apart_m: {ear-out: {mic-a: 9}}
reach: {default_m: 12, vox: {farthest_m: 18, note: walks to the thrust}}
day:
  - {what: packs on, at: "15:30"}
  - {what: cell swap, at: "18:30", units: all}
  - {what: show, at: "21:10", until: "22:45", on_air: all}
  - {what: encore, at: "22:45", on_air: [ear-1, mic-1, house-headset]}
hired: {PK-3: {model: ear-pack-n, because: the house one is at the workshop}}
cautions: [{about: hearing, say: Packs start at minimum and are raised after music runs}]
waivers: []
""",
    "region": """
plan_format: 1
kind: region
region: us
tv: {raster: us-6mhz, first_channel: 14, last_channel: 36}
rows:
  tv-uhf-unlicensed:
    low_mhz: 470.000
    high_mhz: 608.000
    class: unlicensed
    power_mw: 50
    power_basis: eirp
    max_emission_khz: 200
    source: {document: 47 CFR 15.236, clause: (d)(1), edition: "2024", address: "-", quote: "-"}
    status: {band: read, power: second-hand, width: second-hand}
closed:
  radio-astronomy: {low_mhz: 608.000, high_mhz: 614.000, why: radio astronomy and medical telemetry,
    source: {document: 47 CFR 73.603, clause: (c)}, status: {band: read}}
land_mobile:
  weirbridge: {town: Weirbridge, tv_channels: [15], source: {document: an invented order},
    status: {band: memory}}
""",
    "as-set": """
plan_format: 1
kind: as-set
uses: [../venues/2026-03-14-millrace.yaml]
found:
  PK-5: {carrier_mhz: 478.200, ear_feed: stereo, limiter_db: -24, label: "5 DRUM"}
  PK-S: {carrier_mhz: 505.300, limiter_db: unknown}
""",
}


def with_text_keys(node: Any) -> Any:
    """Map keys as text, as the plan format reads them."""
    if isinstance(node, dict):
        return {str(key): with_text_keys(value) for key, value in node.items()}
    return [with_text_keys(item) for item in node] if isinstance(node, list) else node


def sample(name: str) -> dict[str, Any]:
    document: dict[str, Any] = with_text_keys(yaml.safe_load(SAMPLES[name]))
    return document


@pytest.mark.parametrize("name", SAMPLES)
def test_the_plan_formats_samples_are_valid(name: str) -> None:
    document = sample(name)
    errors = list(Draft202012Validator(SCHEMAS[document["kind"]]).iter_errors(document))
    assert [(list(error.absolute_path), error.message) for error in errors] == []


@pytest.mark.parametrize("path", sorted((ROOT / "planlint" / "regions").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_shipped_regions_are_valid(path: Path) -> None:
    document = with_text_keys(yaml.safe_load(path.read_text(encoding="utf-8")))
    errors = Draft202012Validator(SCHEMAS["region"]).iter_errors(document)
    assert [(list(error.absolute_path), error.message) for error in errors] == []


def test_one_plan_file_may_hold_every_key() -> None:
    document: dict[str, Any] = {}
    for name in SAMPLES:
        document |= sample(name)
    document["kind"] = "plan"
    assert list(Draft202012Validator(PLAN).iter_errors(document)) == []
    assert set(PLAN["properties"]) - set(document) == {
        *("ships", "fallback", "if_lost", "chargers", "acts", "stages", "told", "scenes", "duties", "roster"),
        *("name", "checked", "classes"),
    }


OPTIONAL = {  # optional keys beyond the samples, for the rules that need them
    "licence": "ref holder from until place low_mhz high_mhz power_mw power_basis class",
    "person": "note wears_one_ear",
    "pack_defaults": "squelch",
    "rack": "network note",
    "device": "may_tune controls firmware owner network gauge preset",
    "preset": "taken carrier_mhz",
    "mix": "note",
    "pack": "doubles because squelch controls volume cells",
    "link": "input_gain_db carrier_mhz power_mw doubles mode wide_emission self_tuned takes_channels",
    "mode": "emission_khz needs_ci_db carries_links",
    "carrier": "self_tuned takes_channels",
    "other_on_air": "self_tuned takes_channels press",
    "spectrum": "allotted_mhz noise_sources self_tuning_bands",
    "self_tuning_band": "low_mhz high_mhz channels note",
    "scene": "scene on_air note",
    "day_entry": "scenes",
    "policy": "scenes_between_swaps",
    "duty": "does people",
    "roster_entry": "date show present away duties",
    "act": "who stage holds line_check at until allotted_mhz spares_mhz",
    "stage": "apart_m wall_db",
    "charger": "size slots charge_h",
    "feed": "stereo mono left right",
    "waiver": "accept by_route",
    "show": "region stage_depth_m coordinator duties",
    "scan": "sweeps detector",
    "coax": "impedance_ohm",
    "antenna": "passband_mhz sight amplifier_db",
    "model": "display_chars regions port_max_mw first_if_mhz iip3_dbm iip5_dbm noise_figure_db family "
    "headline_range_m input_max_dbu blocks_dc needs_bias sends_bias connector carries_links",
    "licence_class": "title note",
    "row": "note power_handheld_mw power_source width_source",
    "source": "read_on",
    "land_mobile_share": "town low_mhz high_mhz tv_channels source status",
    "found_unit": "decodes balance_pct gain_db low_cut_hz high_cut_khz volume may_tune controls cells "
    "squelch firmware gauge sends power_mw input_gain_db tape lent_to sent",
}


@pytest.mark.parametrize("definition", OPTIONAL)
def test_optional_keys_are_there(definition: str) -> None:
    assert set(OPTIONAL[definition].split()) <= set(PLAN["$defs"][definition]["properties"])


def test_a_found_setting_is_a_pack_setting_or_unknown() -> None:
    found = PLAN["$defs"]["found_unit"]["properties"]
    settings = PLAN["$defs"]["pack_defaults"]["properties"]
    gauge = {"gauge": PLAN["$defs"]["device"]["properties"]["gauge"]}
    for key in settings | gauge:
        words = [word for branch in branches(PLAN, found[key]) for word in branch.get("enum", [branch.get("const")])]
        assert "unknown" in words, key
        for example in resolve(PLAN, (settings | gauge)[key])["examples"]:
            assert errors_at("as-set", f"/found/a/{key}", example) == [], key


LEFT_OUT = object()
WRONG = [  # sample, place of the change, new value (or LEFT_OUT), place of the error
    ("shortest", "plan_format", LEFT_OUT, ""),
    ("shortest", "plan_format", 2, "plan_format"),
    ("shortest", "kind", "show", "kind"),
    ("shortest", "kind", LEFT_OUT, ""),
    ("shortest", "spectrum/tv_occupied", None, "spectrum/tv_occupied"),
    ("shortest", "links/vox/kind", LEFT_OUT, "links/vox"),
    ("shortest", "links/vox/kind", "radio", "links/vox/kind"),
    ("shortest", "links/vox/carrier_mhz", "soon", "links/vox/carrier_mhz"),
    ("shortest", "links/vox/carrier", 505.3, "links/vox"),
    ("shortest", "links/-vox", {"kind": "ear"}, "links"),
    ("shortest", "links/" + "v" * 65, {"kind": "ear"}, "links"),
    ("shortest", "links/two words", {"kind": "ear"}, "links"),
    ("models", "models/hand-k/role", LEFT_OUT, "models/hand-k"),
    ("models", "models/hand-k/tuning_mhz", [{"low": 550}], "models/hand-k/tuning_mhz/0"),
    ("models", "models/hand-k/tuning_mhz", {"low": 550, "high": 598}, "models/hand-k/tuning_mhz"),
    ("models", "models/hand-k/groups", 2.5, "models/hand-k/groups"),
    ("models", "models", LEFT_OUT, ""),
    ("tour", "links/ear-1/carrier_mhz", 505.3, "links/ear-1"),
    ("tour", "links/ear-1/packs/PK-1/limitor_db", -12, "links/ear-1/packs/PK-1"),
    ("tour", "pack_defaults/low_cut_hz", "off", "pack_defaults/low_cut_hz"),
    ("tour", "pack_defaults/balance_pct", -101, "pack_defaults/balance_pct"),
    ("tour", "groups/G2/carriers_mhz", LEFT_OUT, "groups/G2"),
    ("tour", "groups/G2/carriers_mhz/three", 478.2, "groups/G2/carriers_mhz"),
    ("tour", "devices/TX-1/address", "10.0.4", "devices/TX-1/address"),
    ("tour", "waivers/0/covers", LEFT_OUT, "waivers/0"),
    ("tour", "waivers/0/until", "30 June", "waivers/0/until"),
    ("tour", "waivers/0/accept", {"Spacing": 650}, "waivers/0/accept"),
    ("tour", "carriers", {}, ""),
    ("tour", "people/vox/phone", "none", "people/vox"),
    ("venue", "people", {}, ""),
    ("venue", "policy", {}, ""),
    ("venue", "uses", LEFT_OUT, ""),
    ("venue", "uses", ["/etc/tour.yaml"], "uses/0"),
    ("venue", "uses", "../tour.yaml", "uses"),
    ("venue", "show/date", "14.03.2026", "show/date"),
    ("venue", "show/indoor", "yes", "show/indoor"),
    ("venue", "scans/stage/file", LEFT_OUT, "scans/stage"),
    ("venue", "scans/stage/at", "2026-03-14 13:05", "scans/stage/at"),
    ("venue", "carriers/ear-1/power_mw", "5 mW", "carriers/ear-1/power_mw"),
    ("venue", "carriers/ear-5/stored", {"G2": 3.5}, "carriers/ear-5/stored/G2"),
    ("venue", "spares_mhz/ears", [502.7], "spares_mhz"),
    ("venue", "apart_m/ear-out/mic-a", "9 m", "apart_m/ear-out/mic-a"),
    ("venue", "reach/vox", 18, "reach/vox"),
    ("venue", "day/0/at", "25:00", "day/0/at"),
    ("venue", "day/0/what", LEFT_OUT, "day/0"),
    ("venue", "day/2/on_air", "some", "day/2/on_air"),
    ("venue", "hired/PK-3/model", LEFT_OUT, "hired/PK-3"),
    ("venue", "cautions/0/say", LEFT_OUT, "cautions/0"),
    ("venue", "cautions/0/about", "weather", "cautions/0/about"),
    ("region", "rows/tv-uhf-unlicensed/status", LEFT_OUT, "rows/tv-uhf-unlicensed"),
    ("region", "rows/tv-uhf-unlicensed/status/band", "seen", "rows/tv-uhf-unlicensed/status/band"),
    ("region", "closed/radio-astronomy/why", LEFT_OUT, "closed/radio-astronomy"),
    ("region", "land_mobile/weirbridge/town", LEFT_OUT, "land_mobile/weirbridge"),
    ("region", "uses", ["a.yaml"], ""),
    ("region", "region", LEFT_OUT, ""),
    ("as-set", "found/PK-S/limiter_db", "loud", "found/PK-S/limiter_db"),
    ("as-set", "found/PK-S/carrier_mhz", "auto", "found/PK-S/carrier_mhz"),
    ("as-set", "found", LEFT_OUT, ""),
]


def changed(document: Any, place: str, value: object) -> None:
    *path, last = place.split("/")
    for part in path:
        document = document[int(part)] if isinstance(document, list) else document[part]
    if value is LEFT_OUT:
        del document[last]
    else:
        document[last] = value


@pytest.mark.parametrize(("name", "place", "value", "error_place"), WRONG)
def test_a_wrong_document_is_refused_at_its_place(name: str, place: str, value: object, error_place: str) -> None:
    document = sample(name)
    schema = SCHEMAS[document["kind"]]
    changed(document, place, value)
    errors = Draft202012Validator(schema).iter_errors(document)
    assert {"/".join(map(str, error.absolute_path)) for error in errors} == {error_place}


def test_times_and_dates_agree_with_the_standard_library() -> None:
    """Source: Python's datetime; the pattern knows no lengths of months, which the reader of dates judges."""
    for minute in range(24 * 60):
        text = time(minute // 60, minute % 60).isoformat("minutes")
        assert errors_at("venue", "/day/0/at", text) == []
    for wrong in ("24:00", "9:30", "19:60", "1930", "19:30:00", " 19:30"):
        assert errors_at("venue", "/day/0/at", wrong), wrong
    for ordinal in range(date(2024, 1, 1).toordinal(), date(2025, 1, 1).toordinal()):
        assert errors_at("venue", "/show/date", date.fromordinal(ordinal).isoformat()) == []
    for wrong in ("2026-13-01", "2026-00-10", "2026-01-32", "26-01-01", "2026-1-1", "2026-03-14T13:05"):
        assert errors_at("venue", "/show/date", wrong), wrong


@pytest.mark.parametrize(
    "text",
    [
        "10.0.4.11",
        "0.0.0.0",
        "255.255.255.255",
        "256.1.1.1",
        "1.2.3",
        "1.2.3.4.5",
        "01.2.3.4",
        "1.2.3.",
        "a.b.c.d",
    ],
)
def test_addresses_agree_with_the_standard_library(text: str) -> None:
    """Source: Python's ipaddress."""
    try:
        expected = str(ipaddress.IPv4Address(text)) == text
    except ipaddress.AddressValueError:
        expected = False
    assert (errors_at("tour", "/devices/a/address", text) == []) is expected


# --------------------------------------------------------------------------------------- defaults


def test_the_defaults_table_covers_each_policy_key_and_states_its_unit() -> None:
    policy = {
        "policy" + where.replace("/", "."): schema
        for where, _, schema in values(PLAN, PLAN["$defs"]["policy"])
        if is_number(PLAN, schema)
    }
    assert set(DEFAULTS) == {*policy, "emission_khz"}
    for key, default in DEFAULTS.items():
        schema = policy.get(key, PLAN["$defs"]["emission_width"])
        assert default.get("unit") == schema.get("x-unit"), key
        assert ("value" in default) != ("times_widest_emission" in default), key
        assert "common practice, no source" in default["source"], key
        width = DEFAULTS["emission_khz"]["value"]
        assert schema["minimum"] <= default.get("value", width) <= schema["maximum"], key
        assert ("derivation" in default) == ("times_widest_emission" in default), key


def test_the_defaults_are_those_of_the_plan_format() -> None:
    """The plan format's ruling on defaults: multiples of the widest emission B, and fixed values."""
    spacing = {"ear_to_ear": 2, "mic_to_mic": 2, "comms_to_comms": 2, "other_to_other": 2}
    multiples = {f"policy.spacing_khz.{key}": value for key, value in spacing.items()} | {
        "policy.intermod_khz.two_signal_third": 0.5,
        "policy.intermod_khz.three_signal_third": 0.25,
        "policy.intermod_khz.two_signal_fifth": 0.25,
        "policy.scan.max_step_khz": 0.5,
    }
    fixed = {
        "emission_khz": 200,
        "policy.spacing_khz.ear_to_mic": 8000,
        "policy.intermod_khz.three_signal_fifth": 0,
        "policy.floor_dbm.usable": -80,
        "policy.floor_dbm.clean": -92,
        "policy.tv_guard_khz": 100,
        "policy.scan.max_age_h": 24,
        "policy.link.margin_db": 10,
        "policy.link.body_loss_db": 20,
        "policy.max_bare_antennas_per_rack": 3,
        "policy.hearing.ask_above_db_spl": 112,
        "policy.hands_min_per_unit": 1.5,
    }
    silent_there = {"policy.region_max_age_days", "policy.spares_per_links", "policy.scenes_between_swaps"}
    written = {key: value["times_widest_emission"] for key, value in DEFAULTS.items() if "value" not in value}
    assert written == multiples
    values_there = {key: value["value"] for key, value in DEFAULTS.items() if "value" in value}
    assert {key: value for key, value in values_there.items() if key not in silent_there} == fixed
    assert silent_there <= set(values_there)


def test_no_schema_states_a_default_of_its_own() -> None:
    """One table of defaults: the keyword stands nowhere."""
    assert not any("default" in schema for name in NAMES for _, _, schema in walk(SCHEMAS[name]))


# -------------------------------------------------------------------------------- findings, config

FINDING: dict[str, Any] = SCHEMAS["findings"]["$defs"]["finding"]["examples"][0]
REPORT: dict[str, Any] = {
    "format": 1,
    "checked": ["venues/2026-03-14-millrace.yaml"],
    "findings": [FINDING],
    "not_checked": [{"rule": "link-margin-low", "needs": ["/reach/default_m"], "subjects": ["ear-1"]}],
    "summary": SCHEMAS["findings"]["$defs"]["summary"]["examples"][0],
    "triage": SCHEMAS["findings"]["$defs"]["triage"]["examples"][1],
}


def test_findings_hold_the_plan_formats_keys_exactly() -> None:
    named = [
        *(
            "rule",
            "severity",
            "message",
            "plan",
            "file",
            "line",
            "column",
            "end_line",
            "end_column",
            "pointer",
        ),
        *("subjects", "values", "related", "fix", "waived", "where", "effort_min", "harm"),
    ]
    counts = ["error", "warning", "note", "waived", "rules_run", "rules_not_checked", "rules_off"]
    assert FINDING["severity"] == "error"
    definitions = SCHEMAS["findings"]["$defs"]
    for definition, keys in (
        (SCHEMAS["findings"], ["format", "checked", "findings", "not_checked", "summary", "triage"]),
        (definitions["finding"], named),
        (definitions["related"], ["file", "line", "column", "pointer", "label"]),
        (definitions["not_checked"], ["rule", "needs", "subjects"]),
        (definitions["summary"], counts),
    ):
        assert list(definition["properties"]) == definition["required"] == keys
    assert Draft202012Validator(SCHEMAS["findings"]).is_valid(REPORT)


@pytest.mark.parametrize(
    ("place", "value"),
    [
        ("format", 2),
        ("findings/0/severity", "fatal"),
        ("findings/0/line", 0),
        ("findings/0/fix", LEFT_OUT),
        ("findings/0/pointer", "carriers/ear-1"),
        ("findings/0/pointer", "/carriers/~2"),
        ("findings/0/values/spacing_khz", None),
        ("findings/0/waived", {"because": "a reason"}),
        ("findings/0/colour", "red"),
        ("not_checked/0/needs", "/reach"),
        ("summary/error", -1),
        ("summary/rules_off", LEFT_OUT),
        ("findings/0/harm", "nuisance"),
        ("findings/0/effort_min", -1),
        ("findings/0/where", LEFT_OUT),
        ("findings/0/where/0/kind", "room"),
        ("triage", LEFT_OUT),
        ("triage/hands", 0),
        ("triage/do/0/finding", -1),
    ],
)
def test_a_wrong_report_is_refused(place: str, value: object) -> None:
    report = copy.deepcopy(REPORT)
    changed(report, place, value)
    assert not Draft202012Validator(SCHEMAS["findings"]).is_valid(report)


def test_pointers_follow_rfc_6901() -> None:
    """Source: RFC 6901, section 5, the table of example pointers; section 3 for the two wrong ones."""
    pattern = re.compile(SCHEMAS["findings"]["$defs"]["pointer"]["pattern"])
    right = ["", "/foo", "/foo/0", "/", "/a~1b", "/c%d", "/e^f", "/g|h", "/i\\j", '/k"l', "/ ", "/m~0n"]
    assert all(pattern.search(pointer) for pointer in right)
    assert not any(pattern.search(pointer) for pointer in ("foo", "/m~n"))


@pytest.mark.parametrize(
    ("document", "valid"),
    [
        ({}, True),
        ({"root": True, "fail_on": "note", "skip": ["old/*.yaml"]}, True),
        (
            {"rules": {"equal-spacing-comb": {"run": True, "severity": "note", "options": {"least_carriers": 5}}}},
            True,
        ),
        ({"rules": {"equal-spacing-comb": {"options": {"strict": False, "say": "x"}}}}, True),
        ({"fail_on": "never"}, False),
        ({"root": "yes"}, False),
        ({"skip": "old"}, False),
        ({"rules": {"equal-spacing-comb": False}}, False),
        ({"rules": {"Equal Spacing": {"run": True}}}, False),
        ({"rules": {"equal-spacing-comb": {"level": "note"}}}, False),
        ({"rules": {"equal-spacing-comb": {"options": {"a": [1]}}}}, False),
        ({"rule": {}}, False),
    ],
)
def test_configuration(document: dict[str, object], valid: bool) -> None:
    assert Draft202012Validator(SCHEMAS["config"]).is_valid(document) is valid
