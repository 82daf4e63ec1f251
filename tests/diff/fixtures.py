"""Plans to compare: every example and rule case as plain values, random ones, and random edits."""

from __future__ import annotations

import copy
import tempfile
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from hypothesis import strategies as st

from planlint.diff.side import side
from planlint.plan import Shelf
from tests.rules.case_files import all_cases, lay

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "examples"
MILLRACE = "saltmarsh-spring/venues/2027-03-13-millrace.yaml"
HARBOUR = "saltmarsh-spring/venues/2027-04-10-harbour-shed.yaml"

Values = dict[str, Any]


def values_of(root: Path, file: str) -> Values:
    return side(Shelf(root), file, file).values


@cache
def examples() -> dict[str, Values]:
    shelf = Shelf(EXAMPLES)
    shows = [file for file in shelf.plan_files() if shelf.judged(file).kind in {"plan", "venue", "tour"}]
    return {file: values_of(EXAMPLES, file) for file in shows}


@cache
def cases() -> dict[str, dict[str, Values]]:
    """The values of every rule case, by rule and case."""
    found: dict[str, dict[str, Values]] = {}
    for case in all_cases():
        with tempfile.TemporaryDirectory() as folder:
            root = Path(folder)
            judged = lay(case.path.read_text("utf-8"), root)
            shelf = Shelf(root)
            file = judged.relative_to(root).as_posix()
            if shelf.judged(file).kind in {"plan", "venue", "tour"}:
                found.setdefault(case.rule, {})[case.name] = values_of(root, file)
    return found


IDS = [f"{letter}-{number}" for letter in "ab" for number in range(3)]
_ids = st.sampled_from(IDS)
_mhz = st.integers(470_000, 480_000).map(lambda khz: Decimal(khz) / 1000)
_words = st.text("abc /~#é", min_size=1, max_size=5)
_clock = st.tuples(st.integers(9, 23), st.sampled_from([0, 30])).map(lambda at: f"{at[0]:02d}:{at[1]:02d}")


def _some(values: Any) -> Any:
    return st.dictionaries(_ids, values, max_size=4)


def _map(must: dict[str, Any] | None = None, **may: Any) -> Any:
    return st.fixed_dictionaries(must or {}, optional=may)


_settings: dict[str, Any] = {
    "limiter_db": st.sampled_from([-24, -12, Decimal("-6.0"), "none"]),
    "gain_db": st.integers(-3, 3),
    "ear_feed": st.sampled_from(["stereo", "mono"]),
    "volume": st.sampled_from(["free", "fixed"]),
    "may_tune": st.sampled_from(["any", "stored"]),
}
_pack = _map(person=_ids, stands_in_for=_ids, listens_to=st.lists(_ids, max_size=3, unique=True), **_settings)
_link = _map(
    {"kind": st.sampled_from(["ear", "mic"])}, tx=_ids, rx=_ids, sends=st.sampled_from(["stereo", "mono"]),
    packs=_some(_pack), feed=_map(stereo=_ids), stands_in_for=_ids,
)  # fmt: skip
_carrier = st.one_of(
    _map(
        {"carrier_mhz": st.one_of(_mhz, st.just("auto"))}, power_mw=st.sampled_from([5, Decimal("5.0"), 30]),
        stored=st.dictionaries(_ids, st.integers(1, 3), max_size=1),
    ),
    _map({"unused": _words}),
)  # fmt: skip
_entry = _map(
    {"what": st.sampled_from(["packs on", "show", "doors"]), "at": _clock}, until=_clock,
    on_air=st.one_of(st.just("all"), st.lists(_ids, max_size=3)),
)  # fmt: skip
_SECTIONS = {
    "show": _map(place=_words, date=st.sampled_from(["2026-03-01", "2026-03-02"])),
    "spectrum": _map(
        tv_occupied=st.lists(st.integers(14, 36), max_size=4),
        others_on_air=st.dictionaries(st.sampled_from(["x", "y"]), _map({"carrier_mhz": _mhz}), max_size=2),
    ),
    "people": _some(_map(does=_words, ears=_ids)),
    "models": _some(_map(role=st.sampled_from(["ear-pack", "mic-receiver"]), step_khz=st.sampled_from([25, 50]))),
    "pack_defaults": _map(**_settings),
    "racks": _some(_map({"holds": st.lists(_ids, max_size=3)})),
    "devices": _some(_map(model=_ids, label=_words, may_tune=st.sampled_from(["any", "stored"]), into=_ids)),
    "hired": _some(_map({"model": _ids})),
    "mixes": _some(_map({"width": st.just("mono")}, desk_out=st.lists(st.integers(1, 9), max_size=2), **{"for": _ids})),
    "groups": _some(
        _map({"carriers_mhz": st.dictionaries(st.sampled_from(["1", "2"]), _mhz)}, stored_in=st.lists(_ids, max_size=3))
    ),
    "group_overrides_mhz": _some(_some(st.dictionaries(st.sampled_from(["1", "2"]), _mhz, max_size=1))),
    "links": _some(_link),
    "carriers": _some(_carrier),
    "antennas": _some(_map({"for": st.just("ear")}, gain_dbi=st.integers(0, 9))),
    "apart_m": _some(_some(st.integers(1, 9))),
    "day": st.lists(_entry, max_size=5),
    "waivers": st.lists(
        _map({"rule": st.sampled_from(["r1", "r2"]), "covers": st.lists(_ids, max_size=2)}, because=_words), max_size=4
    ),
    "scenes": st.lists(
        _map({"scene": st.sampled_from(["1.2", "1.10", "2.1"]), "on_air": st.lists(_ids, max_size=3, unique=True)}), max_size=4
    ),
    "cautions": st.lists(_map({"about": st.sampled_from(["hearing", "scan"]), "say": _words}), max_size=3),
}  # fmt: skip
plans = st.fixed_dictionaries({}, optional=_SECTIONS)


class Leaf(NamedTuple):
    """Where a scalar stands in plain values: keys and positions."""

    path: tuple[Any, ...]


def leaves(values: Any, path: tuple[Any, ...] = ()) -> list[Leaf]:
    if isinstance(values, dict):
        return [leaf for key, child in values.items() for leaf in leaves(child, (*path, key))]
    if isinstance(values, list):
        return [leaf for index, child in enumerate(values) for leaf in leaves(child, (*path, index))]
    return [Leaf(path)]


def edited(values: Values, leaf: Leaf, value: Any) -> Values:
    """A copy with one scalar replaced."""
    changed = copy.deepcopy(values)
    node: Any = changed
    for part in leaf.path[:-1]:
        node = node[part]
    node[leaf.path[-1]] = value
    return changed
