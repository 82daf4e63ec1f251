"""All schema errors of a file in one run, one per key, placed and worded; jsonschema decides what is wrong."""

from __future__ import annotations

import pytest

from planlint.document import parse
from planlint.schema.judge import Judged, judge

HEAD = "plan_format: 1\nkind: plan\n"


def told(text: str) -> list[tuple[str, str, int, int]]:
    return [
        (trouble.rule, trouble.pointer, trouble.span.line, trouble.span.column)
        for trouble in judge(parse(text, "f")).troubles
    ]


def one(text: str) -> dict[str, str]:
    troubles = judge(parse(HEAD + text, "f")).troubles
    assert len(troubles) == 1, troubles
    return {"rule": troubles[0].rule, **troubles[0].values}


def test_every_error_of_a_file_in_one_run_in_order_of_place() -> None:
    text = HEAD + (
        "show: {regoin: us, date: 14.3.2026}\n"
        "links:\n"
        "  vox: {kind: eer, carrier_mhz: 505300}\n"
        "  gtr: {carrier_mhz: 506.125, power: 10}\n"
        "  bad id: {kind: ear}\n"
        "waivers: {}\n"
    )
    assert told(text) == [
        ("unknown-key", "/show/regoin", 3, 8),
        ("wrong-value", "/show/date", 3, 26),
        ("wrong-value", "/links/vox/kind", 5, 15),
        ("unit-implausible", "/links/vox/carrier_mhz", 5, 33),
        ("key-missing", "/links/gtr/kind", 6, 3),
        ("unit-missing", "/links/gtr/power", 6, 31),
        ("wrong-value", "/links/bad id", 7, 3),
        ("wrong-value", "/waivers", 8, 1),
    ]


@pytest.mark.parametrize(
    ("text", "rule", "near"),
    [
        ("show: {regoin: us}\n", "unknown-key", "region"),
        ("links: {v: {kind: aer}}\n", "wrong-value", "ear"),
        ("spectrum: {tv_raster: us-6mzh}\n", "wrong-value", "us-6mhz"),
        ("lnks: {}\n", "unknown-key", "links"),
    ],
)
def test_did_you_mean(text: str, rule: str, near: str) -> None:
    found = one(text)
    assert (found["rule"], found["near"]) == (rule, near)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("links: {v: {kind: ear, carrier_mhz: 505300}}\n", "looks like kHz: 505.300?"),
        ("links: {v: {kind: ear, carrier_mhz: 505300000}}\n", "looks like Hz: 505.300?"),
        ("links: {v: {kind: ear, carrier_mhz: 0.5053}}\n", "looks like GHz: 505.300?"),
        ("links: {v: {kind: ear, power_mw: 0.01}}\n", "looks like W: 10?"),
        ("policy: {tv_guard_khz: 100000}\n", "looks like Hz: 100?"),
    ],
)
def test_the_likely_unit(text: str, meant: str) -> None:
    assert one(text)["meant"] == meant


def test_a_choice_of_kinds_of_value_is_one_error_in_words() -> None:
    found = one("links: {v: {kind: ear, carrier_mhz: soon}}\n")
    assert found["rule"] == "wrong-value"
    assert found["wants"] == "a number in MHz or auto"


def test_null_is_never_a_value() -> None:
    for written in ("", "~", "null"):
        found = one(f"show: {{place: {written}}}\n")
        assert (found["rule"], found["found"]) == ("wrong-value", "nothing")


def test_what_is_wrong_counts_as_unwritten_and_the_rest_stays() -> None:
    judged: Judged = judge(parse(HEAD + "links: {v: {kind: eer, carrier_mhz: 505.300, x: 1}}\n", "f"))
    assert set(judged.values["links"]["v"]) == {"carrier_mhz"}


def test_keys_of_another_kind_are_named_as_such() -> None:
    venue = "plan_format: 1\nkind: venue\nuses: [t.yaml]\npolicy: {}\ncarriers: {a: {label: x}}\nmodels: {}\n"
    assert told(venue) == [
        ("venue-file-changes-tour", "/policy", 4, 1),
        ("venue-file-changes-tour", "/carriers/a/label", 5, 16),
        ("wrong-kind", "/models", 6, 1),
    ]
    tour = "plan_format: 1\nkind: tour\nscans: {}\nlinks: {a: {kind: ear, carrier_mhz: 505.3}}\n"
    assert told(tour) == [("wrong-kind", "/scans", 3, 1), ("wrong-kind", "/links/a/carrier_mhz", 4, 24)]


def test_format_and_kind_are_settled_first() -> None:
    assert told("plan_format: 2\nkind: nonsense\nx: 1\n") == [("format-version", "/plan_format", 1, 14)]
    assert judge(parse("plan_format: 2\n", "f")).fatal
    assert told("plan_format: 1\nkind: paln\n") == [("wrong-kind", "/kind", 2, 7)]
    assert told("plan_format: 1\n") == [("key-missing", "/kind", 1, 1)]
    assert told("plan_format: zwei\nkind: plan\n") == [("wrong-value", "/plan_format", 1, 14)]
