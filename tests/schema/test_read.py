"""The walk against jsonschema: its yes means jsonschema's yes, on mutated plans and on any text."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.document import Scalar, Span, parse
from planlint.schema import scalars, store
from planlint.schema.judge import judge
from planlint.schema.read import walk

ROOT = Path(__file__).parents[2]
STARTERS = sorted((ROOT / "planlint/fix/starters").rglob("*.yaml")) + sorted(
    (ROOT / "planlint/regions").glob("gb.yaml")
)


@cache
def validator(kind: str) -> Any:
    return jsonschema.Draft202012Validator(store.schema(kind))


def plain(text: str) -> Scalar:
    return Scalar(text, "plain", Span(1, 1, 1, 2))


@pytest.mark.parametrize("path", STARTERS, ids=lambda path: path.name)
def test_clean_files_are_clean_to_both(path: Path) -> None:
    document = parse(path.read_text("utf-8"), path.name)
    assert document.root is not None
    kind = judge(document).kind
    found = walk(document.root, store.schema(kind))
    assert found.clean
    assert validator(kind).is_valid(found.value)


_WORDS = st.sampled_from(
    ["off", "no", "505.3", "505300", "-1", "1e3", "010", "", "~", "null", "x", "ear", "mic", "auto", "none", "all", "[]",
     "{}", "[1]", "{a: 1}", '"505.3"', "true", "us", "19:30", '"19:30"', "2026-03-14", "100000000000", "0", "unknown",
     "stereo", "[stereo]", "1.5", "A B", "0x10", ".5", "5."]
)  # fmt: skip
_SCALAR = re.compile(r"(?<=: )[^{}\[\],#\n]+|(?<=[\[,] )[^{}\[\],:#\n]+")
_KEY = re.compile(r"[A-Za-z_0-9-]+(?=:)")


@settings(max_examples=600, deadline=None, derandomize=True, database=None)
@given(st.data())
def test_the_walk_and_jsonschema_agree_on_mutated_plans(data: st.DataObject) -> None:
    path = data.draw(st.sampled_from(STARTERS))
    text = path.read_text("utf-8")
    for _ in range(data.draw(st.integers(0, 2))):
        spots = list((_KEY if data.draw(st.booleans()) else _SCALAR).finditer(text))
        spot = data.draw(st.sampled_from(spots))
        word = data.draw(
            _WORDS if spot.re is _SCALAR else st.sampled_from(["kind", "x", "carrier_mhz", "ear 1", "a" * 70])
        )
        text = text[: spot.start()] + word + text[spot.end() :]
    document = parse(text, path.name)
    kind = path.parent.name if False else _kind(path)
    if document.root is None or document.troubles:
        return
    found = walk(document.root, store.schema(kind))
    assert found.clean == validator(kind).is_valid(found.value)


def _kind(path: Path) -> str:
    match = re.search(r"^kind: (\S+)", path.read_text("utf-8"), re.MULTILINE)
    assert match
    return match[1]


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(st.from_regex(re.compile(r"[-+]?[0-9_.]{1,8}([eE:][-+]?[0-9]{1,3})?", re.ASCII), fullmatch=True))
def test_traps_are_where_pyyaml_reads_something_else(text: str) -> None:
    """PyYAML's own loader is the published YAML 1.1 reader: a number is trapped exactly when it reads another."""
    ours = scalars.as_number(plain(text))
    theirs = yaml.safe_load(text)
    trapped = scalars.trap_as_number(plain(text)) is not None
    if isinstance(ours, str):
        assert trapped == (not isinstance(theirs, str))
    elif isinstance(theirs, int | float) and not isinstance(theirs, bool):
        assert trapped == (Decimal(str(ours)) != Decimal(str(theirs)) if float(str(ours)) != theirs else _octal(text))
    else:
        assert trapped


def _octal(text: str) -> bool:
    digits = text.lstrip("+-")
    return len(digits) > 1 and digits.isdigit() and digits[0] == "0" and isinstance(yaml.safe_load(text), int)


@pytest.mark.parametrize("text", ["off", "no", "Yes", "on", "19:30", "2026-03-14", "010", "12", "1.5", "~x", "ear"])
def test_text_is_trapped_where_pyyaml_does_not_read_text(text: str) -> None:
    assert (scalars.trap_as_text(plain(text)) is not None) == (not isinstance(yaml.safe_load(text), str))


def test_carriers_are_exact_decimals_never_floats() -> None:
    document = parse("plan_format: 1\nkind: plan\nlinks: {v: {kind: ear, carrier_mhz: 505.300}}\n", "f")
    values = judge(document).values
    carrier = values["links"]["v"]["carrier_mhz"]
    assert carrier == Decimal("505.300")
    assert str(carrier) == "505.300"
    assert not any(isinstance(leaf, float) for leaf in _leaves(values))


def _leaves(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return [leaf for child in value.values() for leaf in _leaves(child)]
    if isinstance(value, list):
        return [leaf for child in value for leaf in _leaves(child)]
    return [value]


@settings(max_examples=200, deadline=None, derandomize=True, database=None)
@given(st.text(alphabet=st.sampled_from("plan_format: 1\nkids{}[],\"'#-&*.05"), max_size=80))
def test_judging_never_raises(tail: str) -> None:
    judge(parse(f"plan_format: 1\nkind: plan\n{tail}", "f"))
