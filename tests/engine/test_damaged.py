"""Example tours damaged at random: every run ends with findings or says why it cannot, never with an exception.

Keys are dropped, renamed or moved, values replaced by others or by what cannot stand there. What is invalid counts as
unwritten, so every rule meets plans with parts missing in places no case thinks of.
"""

from __future__ import annotations

import copy
import random
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from planlint.config import read_config
from planlint.engine import NothingToCheckError
from planlint.engine.check import check

ROOT = Path(__file__).resolve().parents[2]
TOURS = sorted(
    {path.parent for folder in ("examples", "tests/examples") for path in (ROOT / folder).glob("*/models.yaml")}
    | {path.parent for folder in ("examples", "tests/examples") for path in (ROOT / folder).glob("*/plan.yaml")}
)
_QUOTED = re.compile(r"'(-?\d[\d.:-]*)'")
JUNK: tuple[Any, ...] = (
    "", "0", "-1", "1e9", "x", "auto", "all", "none", "true", "2027-01-01", "25:99", "3.5", "ear-1",
    [], {}, ["a"], {"a": "1"}, ["ear-1", "ear-1"], {"ear-1": {}},
)  # fmt: skip


def paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a document."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(inner for key, part in items for inner in paths(part, (*path, key)))]


def at(document: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        document = document[key]
    return document


def damage(document: Any, rng: random.Random) -> str:
    """Damage a document in one place and say how; places that are gone by now stay as they are."""
    places = [path for path in paths(document) if path]
    path = rng.choice(places)
    holder, key = at(document, path[:-1]), path[-1]
    match rng.choice(("drop", "junk", "junk", "copy", "rename")):
        case "drop":
            del holder[key]
            return f"without {path}"
        case "junk":
            holder[key] = rng.choice(JUNK)
            return f"{path}: {holder[key]}"
        case "copy":
            other = rng.choice(places)
            holder[key] = copy.deepcopy(at(document, other))
            return f"{path} as {other}"
        case _:
            if isinstance(holder, dict):
                holder[f"{key}x"] = holder.pop(key)
            return f"{path} renamed"


def text_of(document: Any) -> str:
    """A document as YAML text, numbers and times as somebody would type them."""
    return _QUOTED.sub(r"\1", yaml.safe_dump(document, sort_keys=False))


@pytest.mark.parametrize("seed", range(60))
def test_damaged_tours_give_findings(seed: int, tmp_path: Path) -> None:
    rng = random.Random(seed)
    tour = tmp_path / "tour"
    shutil.copytree(TOURS[seed % len(TOURS)], tour)
    file = rng.choice(sorted(path for path in tour.rglob("*.yaml") if path.name != ".planlint.yaml"))
    document = yaml.load(file.read_text("utf-8"), Loader=yaml.BaseLoader)
    said = [damage(document, rng) for _ in range(rng.choice((1, 1, 2, 4)))]
    file.write_text(text_of(document), "utf-8")
    try:
        report = check(tour, [tour], read_config(tour))
    except NothingToCheckError:
        return
    except Exception as error:
        raise AssertionError(f"{file.name}: {said}") from error
    assert report.files


@pytest.mark.parametrize(
    ("written", "rule", "key"),
    [
        ("models: {p: {role: ear-pack, limiter_db: {low: -12}}}", "setting-not-on-model", "high"),
        ("models: {p: {role: ear-pack, limiter_db: {low: x, high: 0}}}", "setting-not-on-model", "low"),
        ("models: {p: {role: ear-pack}}\nchargers: {C: {charge_h: 3}}", "charger-slots", "slots"),
    ],
)
def test_what_is_half_written_counts_as_unwritten(written: str, rule: str, key: str, tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(
        f"plan_format: 1\nkind: plan\n{written}\ndevices: {{P: {{model: p}}}}\n"
        "links: {a: {kind: ear, carrier_mhz: 500.000, packs: {P: {limiter_db: -6}}}}\n",
        "utf-8",
    )
    report = check(tmp_path, [tmp_path / "p.yaml"], read_config(tmp_path))
    assert rule in {unchecked.rule for unchecked in report.not_checked}
    assert any(key in finding.message for finding in report.findings if finding.severity == "error")
