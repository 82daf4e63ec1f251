"""A rename is one change wherever the id is mentioned, and a swap of two carriers is one."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from planlint.diff import Change, apply, canonical, diff
from tests.diff.fixtures import EXAMPLES, MILLRACE, Values, examples, values_of
from tests.diff.test_laws import holds

TOUR = MILLRACE.partition("/")[0]
SHOW = MILLRACE.partition("/")[2]
#: Ids of the tour example that are no word of its texts, by the section that defines them.
RENAMED = {
    "/models": ["quill-tx", "quill-pack", "rook-rx"],
    "/earphones": ["moulded"],
    "/people": ["guest-a", "guest-b"],
    "/mixes": ["duo-a"],
    "/licences": ["shed-site"],
    "/devices": ["TX-1", "PK-6", "PK-S1", "HH-1", "RX-5", "CMB-A"],
    "/groups": ["SPRING"],
    "/antennas": ["ear-out", "mic-b"],
    "/links": ["ear-1", "ear-6", "mic-1", "mic-5"],
    "/spectrum/others_on_air": ["house-headset"],
}


def with_other_ids(folder: Path, names: dict[str, str]) -> Values:
    """The tour with ids replaced wherever they stand in its text: no knowledge of where an id may be mentioned."""
    shutil.copytree(EXAMPLES / TOUR, folder / TOUR, dirs_exist_ok=True)
    (folder / TOUR / ".planlint.yaml").write_text("root: true\n", "utf-8")
    for file in (folder / TOUR).rglob("*.yaml"):
        lines = []
        for line in file.read_text("utf-8").splitlines():
            code, hash_, comment = line.partition(" #")
            for old, new in names.items():
                code = re.sub(rf"(?<![\w.-]){re.escape(old)}(?![\w.-])", new, code)
            lines.append(code + hash_ + comment)
        file.write_text("\n".join(lines) + "\n", "utf-8")
    return values_of(folder / TOUR, SHOW)


@pytest.mark.parametrize("section", sorted(RENAMED))
def test_a_rename_is_one_change(section: str, tmp_path: Path) -> None:
    old = examples()[MILLRACE]
    for name in RENAMED[section]:
        new = with_other_ids(tmp_path, {name: "another-1"})
        changes = diff(old, new)
        expected = Change("renamed", f"{section}/another-1", name, "another-1", other_pointer=f"{section}/{name}")
        assert changes == (expected,), name
        holds(old, new)


def test_a_link_and_its_units_renamed_together_are_renames(tmp_path: Path) -> None:
    old = examples()[MILLRACE]
    new = with_other_ids(tmp_path, {"ear-1": "vox-ear", "TX-1": "SEND-1", "PK-1": "BELT-1"})
    changes = diff(old, new)
    assert {(change.kind, change.old, change.new) for change in changes} == {
        ("renamed", "ear-1", "vox-ear"), ("renamed", "TX-1", "SEND-1"), ("renamed", "PK-1", "BELT-1"),
    }  # fmt: skip
    holds(old, new)


def test_a_renamed_link_whose_carrier_moved_is_a_rename_and_a_move() -> None:
    old: Values = {
        "links": {"ear-1": {"kind": "ear", "tx": "T", "packs": {"P": {}}}},
        "carriers": {"ear-1": {"carrier_mhz": 505}},
    }
    new: Values = {"links": {"vox": old["links"]["ear-1"]}, "carriers": {"vox": {"carrier_mhz": 507}}}
    assert [(change.kind, change.pointer) for change in diff(old, new)] == [
        ("renamed", "/links/vox"), ("modified", "/carriers/vox/carrier_mhz"),
    ]  # fmt: skip
    holds(old, new)


def test_other_ends_are_no_rename() -> None:
    old: Values = {"links": {"ear-1": {"kind": "ear", "tx": "T1", "packs": {"P1": {}}}}}
    new: Values = {"links": {"vox": {"kind": "ear", "tx": "T2", "packs": {"P2": {}}}}}
    assert [change.kind for change in diff(old, new)] == ["removed", "added"]


def test_two_alike_that_are_gone_are_no_rename() -> None:
    old: Values = {"devices": {"P1": {"model": "m"}, "P2": {"model": "m"}}}
    new: Values = {"devices": {"P8": {"model": "m"}, "P9": {"model": "m"}}}
    assert sorted(change.kind for change in diff(old, new)) == ["added", "added", "removed", "removed"]
    holds(old, new)


def test_an_id_of_two_namespaces_is_renamed_in_its_own_only() -> None:
    old: Values = {
        "people": {"vox": {"does": "sings"}},
        "mixes": {"vox": {"for": "vox", "width": "stereo"}},
        "links": {"ear-1": {"tx": "T", "feed": {"stereo": "vox"}, "packs": {"P": {"person": "vox"}}}},
        "reach": {"vox": {"farthest_m": 9}},
    }
    new: Values = {
        "people": {"lead": {"does": "sings"}},
        "mixes": {"vox": {"for": "lead", "width": "stereo"}},
        "links": {"ear-1": {"tx": "T", "feed": {"stereo": "vox"}, "packs": {"P": {"person": "lead"}}}},
        "reach": {"lead": {"farthest_m": 9}},
    }
    assert [(change.kind, change.pointer) for change in diff(old, new)] == [("renamed", "/people/lead")]
    holds(old, new)


def test_two_carriers_that_change_places_are_one_swap() -> None:
    old = examples()[MILLRACE]
    new = canonical(old)
    carriers = new["carriers"]
    for first, second in (("ear-1", "ear-5"), ("mic-1", "mic-2")):
        a, b = carriers[first]["carrier_mhz"], carriers[second]["carrier_mhz"]
        carriers[first]["carrier_mhz"], carriers[second]["carrier_mhz"] = b, a
    changes = diff(old, new)
    assert [(change.kind, change.pointer, change.other_pointer) for change in changes] == [
        ("swapped", "/carriers/ear-1/carrier_mhz", "/carriers/ear-5/carrier_mhz"),
        ("swapped", "/carriers/mic-1/carrier_mhz", "/carriers/mic-2/carrier_mhz"),
    ]
    assert apply(old, changes) == new
    holds(old, new)


def test_three_carriers_that_go_round_are_no_swap() -> None:
    old: Values = {"carriers": {"a": {"carrier_mhz": 1}, "b": {"carrier_mhz": 2}, "c": {"carrier_mhz": 3}}}
    new: Values = {"carriers": {"a": {"carrier_mhz": 2}, "b": {"carrier_mhz": 3}, "c": {"carrier_mhz": 1}}}
    assert [change.kind for change in diff(old, new)] == ["modified"] * 3
