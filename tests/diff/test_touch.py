"""The units to touch, against a count of (unit, field) pairs by hand from the plan's own words."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from planlint.diff.state import as_found, touches, wanted
from planlint.plan import Plan, Resolved, Shelf, build
from tests.diff.fixtures import HARBOUR, MILLRACE, Leaf, Values, edited, examples, leaves, plans
from tests.diff.test_renames import with_other_ids

Pairs = dict[tuple[str, str], Any]
ON_UNIT = ("label", "address", "network", "may_tune", "controls", "tone_key", "encryption", "audio_mode", "firmware")


def plan_of(values: Values) -> Plan:
    resolved = Resolved("show.yaml", "venue", values, (), {}, {}, (), {}, ())
    return build(resolved, Shelf(Path.cwd()))


def pairs_by_hand(values: Values) -> Pairs:
    """What is set where, read from the plain values: every (unit, field) with its value; None is not known."""
    found: dict[tuple[str, str], list[Any]] = {}

    def put(unit: str, field: str, value: Any) -> None:
        found.setdefault((unit, field), []).append(value)

    devices, carriers = values.get("devices", {}), values.get("carriers", {})
    links = values.get("links", {})
    hz = {}
    for name in links:
        entry = carriers.get(name, {})
        number = entry.get("carrier_mhz")
        hz[name] = int(Decimal(number) * 1_000_000) if isinstance(number, int | Decimal) else None
    used = [name for name in links if "unused" not in carriers.get(name, {})]
    for name in used:
        link, power = links[name], carriers.get(name, {}).get("power_mw")
        sender = link.get("tx") or link.get("mic")
        ends = [unit for unit in (sender, link.get("rx")) if unit]
        if not sender or not (link.get("rx") or "packs" in link):
            ends.append(name)
        for unit in [*ends, *link.get("packs", {})]:
            put(unit, "carrier_mhz", hz[name])
        if power is not None:
            put(sender or name, "power_mw", power)
        for field in ("sends", "input_gain_db"):
            if field in link and sender:
                put(sender, field, link[field])
        for pack, own in link.get("packs", {}).items():
            device = devices.get(pack, {})
            house = values.get("pack_defaults", {})
            settings_ = {field: device[field] for field in (*ON_UNIT, "gauge") if field in device}
            for field, value in {**house, **settings_, **own}.items():
                if field not in {"person", "stands_in_for", "doubles", "because", "listens_to"}:
                    put(pack, field, value)
            for listened in own.get("listens_to", ()):
                put(pack, f"listens_to/{listened}", hz.get(listened) if listened in used else None)
    on_links = {unit for unit, _ in found}
    for unit, device in devices.items():
        fields = {field: device[field] for field in (*ON_UNIT, "gauge") if field in device}
        hired = values.get("hired", {}).get(unit, {})
        model = hired.get("model", device.get("model"))
        for field, value in fields.items():
            if (unit, field) not in found:
                put(unit, field, value)
        if model and (fields or unit in on_links):
            put(unit, "model", model)
    for group, spec in values.get("groups", {}).items():
        for unit in set(spec.get("stored_in", ())):
            override = values.get("group_overrides_mhz", {}).get(unit, {}).get(group, {})
            channels = {**spec.get("carriers_mhz", {}), **override}
            put(unit, f"groups/{group}", {int(n): int(Decimal(mhz) * 1_000_000) for n, mhz in channels.items()})
    return {pair: both(told) for pair, told in found.items()}


def both(told: list[Any]) -> Any:
    """A unit on two links that want different things has both."""
    different: list[Any] = []
    for value in told:
        if value not in different:
            different.append(value)
    if len(different) == 1:
        return different[0]
    return {str(value) for value in different if value is not None}


def must_touch(old: Values, new: Values) -> set[tuple[str, str]]:
    before, after = pairs_by_hand(old), pairs_by_hand(new)
    differing = {pair for pair, value in after.items() if value not in (None, set()) and before.get(pair) != value}
    lists = {
        pack for name, link in new.get("links", {}).items() if "unused" not in new.get("carriers", {}).get(name, {})
        for pack, own in link.get("packs", {}).items() if "listens_to" in own
    }  # fmt: skip
    gone = {
        (unit, field)
        for unit, field in before.keys() - after.keys()
        if field.startswith("listens_to/") and unit in lists
    }
    return differing | gone


def told(old: Values, new: Values) -> set[tuple[str, str]]:
    touched = touches(wanted(plan_of(old)), wanted(plan_of(new)))
    assert not set(touched.leave) & set(touched.fields)
    return {(unit, field) for unit, fields in touched.fields.items() for field in fields}


@pytest.mark.parametrize("old", sorted(examples()))
@pytest.mark.parametrize("new", sorted(examples()))
def test_the_examples(old: str, new: str) -> None:
    shows = {name: values for name, values in examples().items() if "carriers" in values}
    if old in shows and new in shows:
        assert told(shows[old], shows[new]) == must_touch(shows[old], shows[new])


@settings(deadline=None, max_examples=300)
@given(plans, plans)
def test_random_plans(old: Values, new: Values) -> None:
    assert told(old, new) == must_touch(old, new)


def leaf_value(plan: Any, leaf: Leaf) -> Any:
    for part in leaf.path:
        plan = plan[part]
    return plan


def another(value: Any) -> Any:
    return value + Decimal("0.025") if isinstance(value, int | Decimal) and not isinstance(value, bool) else "edited"


def test_every_edit_of_one_leaf_of_the_tour() -> None:
    plan = examples()[MILLRACE]
    touching = 0
    for leaf in leaves(plan):
        if leaf.path[0] in {"links", "devices", "pack_defaults", "carriers", "groups"} and leaf.path[-1] != "unused":
            new = edited(plan, leaf, another(leaf_value(plan, leaf)))
            expected = must_touch(plan, new)
            assert told(plan, new) == expected, leaf
            touching += bool(expected)
    assert touching > 200


def test_spares_and_listening_lists_are_among_them() -> None:
    plan = examples()[MILLRACE]
    new = {**plan, "carriers": {**plan["carriers"], "ear-1": {**plan["carriers"]["ear-1"], "carrier_mhz": 505}}}
    assert told(plan, new) == {
        ("TX-1", "carrier_mhz"), ("PK-1", "carrier_mhz"), ("PK-S1", "carrier_mhz"), ("PK-6", "listens_to/ear-1"),
    }  # fmt: skip


def test_a_rename_touches_nothing(tmp_path: Path) -> None:
    """But for the unit whose id it is: it is the same unit, and needs no touch either."""
    from planlint.config import Config
    from planlint.diff.side import side
    from planlint.engine.difference import difference
    from tests.diff.fixtures import EXAMPLES

    with_other_ids(tmp_path, {"PK-1": "BELT-1", "ear-1": "vox-ear"})
    root = tmp_path / MILLRACE.partition("/")[0]
    file = MILLRACE.partition("/")[2]
    found = difference(side(Shelf(EXAMPLES), MILLRACE, "old"), side(Shelf(root), file, "new"), Config())
    assert [change.kind for change in found.changes] == ["renamed", "renamed"]
    assert found.touched.fields == {}
    assert not found.effect.new
    assert not found.effect.gone


def test_what_was_found_is_where_the_units_start() -> None:
    plan = examples()[HARBOUR]
    state = wanted(plan_of(plan))
    found = {
        "PK-5": {"carrier_mhz": Decimal("498.150"), "limiter_db": -24, "label": "5 DRUMS"},
        "PK-S1": {"limiter_db": "unknown"},
    }
    touched = touches(as_found(state, found), state)
    assert touched.fields == {"PK-5": ("carrier_mhz", "limiter_db"), "PK-S1": ("limiter_db",)}
    assert touched.unread == {"PK-S1": ("limiter_db",)}


def test_a_link_whose_ends_are_unwritten_stands_for_them() -> None:
    """The shortest plan has links alone."""
    old: Values = {"links": {"vox": {"kind": "ear"}}, "carriers": {"vox": {"carrier_mhz": 505}}}
    new: Values = {"links": {"vox": {"kind": "ear"}}, "carriers": {"vox": {"carrier_mhz": 506}}}
    assert told(old, new) == {("vox", "carrier_mhz")} == must_touch(old, new)


def test_an_unused_link_is_left_alone_and_a_used_one_again_is_read_first() -> None:
    off: Values = {"links": {"e": {"kind": "ear", "tx": "T", "packs": {}}}, "carriers": {"e": {"unused": "no guests"}}}
    on: Values = {**off, "carriers": {"e": {"carrier_mhz": 505}}}
    assert told(on, off) == set()
    assert told(off, on) == {("T", "carrier_mhz")}
    assert touches(wanted(plan_of(off)), wanted(plan_of(on))).unread == {"T": ("carrier_mhz",)}
