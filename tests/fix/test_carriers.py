"""Carriers written into a file: read back by a general YAML library, and everything else stays as it was."""

from __future__ import annotations

import pytest
import yaml

from planlint.fix.carriers import Carrier, NotWritableError, with_carriers

TEXT = """\
plan_format: 1   # a plan
kind: plan
carriers:
  a: {carrier_mhz: auto, power_mw: 5}   # to be found
  b: {power_mw: 5}  # the drummer's
  c:
    # moved last week
    carrier_mhz: 505.300   # asked for
    stored: {G1: "2"}  # recall
  d: {carrier_mhz: 506.125, stored: {G1: 3, G2: 1}, power_mw: 5}
  e:
    power_mw: 30
links:
  f: {kind: ear}
"""


def _lines(text: str) -> list[str]:
    return [line.split("#")[1] for line in text.splitlines() if "#" in line]


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_only_the_carriers_change(newline: str) -> None:
    text = TEXT.replace("\n", newline)
    wanted = {
        "a": Carrier("/carriers/a", 501_025_000),
        "b": Carrier("/carriers/b", 502_000_000),
        "c": Carrier("/carriers/c", 503_012_500, (("G1", 4),)),
        "d": Carrier("/carriers/d", 504_000_000, (("G1", None), ("G2", None))),
        "e": Carrier("/carriers/e", 505_000_000),
        "f": Carrier("/links/f", 506_000_000),
        "g": Carrier("/carriers/g", 507_000_000),
    }
    new = with_carriers(text, "plan.yaml", wanted)
    read = yaml.safe_load(new)
    assert {name: entry["carrier_mhz"] for name, entry in read["carriers"].items()} == {
        "a": 501.025, "b": 502.0, "c": 503.0125, "d": 504.0, "e": 505.0, "g": 507.0,
    }  # fmt: skip
    assert read["links"]["f"] == {"carrier_mhz": 506.0, "kind": "ear"}
    assert read["carriers"]["c"]["stored"] == {"G1": 4}
    assert read["carriers"]["d"] == {"carrier_mhz": 504.0, "power_mw": 5}
    assert read["carriers"]["e"]["power_mw"] == 30
    assert _lines(new) == _lines(text)
    assert new.count(newline) == new.count("\n")


def test_one_of_two_groups_goes() -> None:
    text = "carriers:\n  d: {carrier_mhz: 506.125, stored: {G1: 3, G2: 1}}\n"
    new = with_carriers(text, "x", {"d": Carrier("/carriers/d", 504_000_000, (("G1", None), ("G2", 7)))})
    assert new == "carriers:\n  d: {carrier_mhz: 504.000, stored: {G2: 7}}\n"


def test_a_mark_at_the_beginning_stays() -> None:
    new = with_carriers("\ufeffcarriers: {a: {carrier_mhz: auto}}", "x", {"a": Carrier("/carriers/a", 500_000_000)})
    assert new == "\ufeffcarriers: {a: {carrier_mhz: 500.000}}"


def test_an_entry_is_put_into_a_flow_section() -> None:
    text = "carriers: {a: {carrier_mhz: 500.000}, b: {power_mw: 5} }  # tonight\nday: []\n"
    new = with_carriers(text, "x", {"z": Carrier("/carriers/z", 501_000_000)})
    assert (
        new
        == "carriers: {a: {carrier_mhz: 500.000}, b: {power_mw: 5}, z: {carrier_mhz: 501.000} }  # tonight\nday: []\n"
    )


def test_no_place_for_it_is_said() -> None:
    with pytest.raises(NotWritableError, match="no place"):
        with_carriers("kind: venue\n", "x", {"z": Carrier("/carriers/z", 501_000_000)})
