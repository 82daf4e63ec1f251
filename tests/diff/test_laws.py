"""Laws of the difference, on every example, every rule case and random plans.

RFC 6902 (JSON Patch) is applied by the jsonpatch package, which knows nothing of plans.
"""

from __future__ import annotations

import copy
import random
from decimal import Decimal
from typing import Any

import jsonpatch
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.diff import apply, canonical, diff, to_json_patch
from planlint.diff.tree import NAMED, ORDERED, SETS
from planlint.schema.store import schema
from tests.diff.fixtures import Values, cases, edited, examples, leaves, plans


def holds(old: Values, new: Values) -> None:
    changes = diff(old, new)
    assert apply(old, changes) == canonical(new)
    patched = jsonpatch.apply_patch(canonical(old), to_json_patch(old, changes))
    assert canonical(patched) == canonical(new)
    assert bool(changes) == (canonical(old) != canonical(new))


@pytest.mark.parametrize("old", sorted(examples()))
@pytest.mark.parametrize("new", sorted(examples()))
def test_applied_to_the_old_example_it_gives_the_new(old: str, new: str) -> None:
    holds(examples()[old], examples()[new])


def test_applied_to_any_rule_case_it_gives_any_other_of_its_rule() -> None:
    example = next(iter(examples().values()))
    pairs = 0
    for group in cases().values():
        holds(next(iter(group.values())), example)
        holds(example, next(iter(group.values())))
        for old in group.values():
            for new in group.values():
                holds(old, new)
                pairs += 1
    assert pairs > 500


@settings(deadline=None, max_examples=300)
@given(plans, plans)
def test_applied_to_a_random_plan_it_gives_another(old: Values, new: Values) -> None:
    holds(old, new)


@settings(deadline=None, max_examples=200)
@given(plans, st.data())
def test_of_few_edits_it_is_the_edits(plan: Values, data: st.DataObject) -> None:
    """Near plans too: most of what a random pair shows is whole sections."""
    new = plan
    for number in range(data.draw(st.integers(1, 4))):
        where = leaves(new)
        if where:
            new = edited(new, data.draw(st.sampled_from(where)), data.draw(st.sampled_from(["a-0", "b-9", number])))
    holds(plan, new)
    holds(new, plan)


@settings(deadline=None)
@given(plans)
def test_a_plan_against_itself_is_no_difference(plan: Values) -> None:
    assert diff(plan, copy.deepcopy(plan)) == ()


@settings(deadline=None, max_examples=300)
@given(plans.filter(lambda plan: bool(leaves(plan))), st.data())
def test_one_edited_leaf_is_one_change(plan: Values, data: st.DataObject) -> None:
    leaf = data.draw(st.sampled_from(leaves(plan)))
    changes = diff(plan, edited(plan, leaf, "edited"))
    assert len(changes) == 1
    # of two items of a set that say the same one counts: an edit of the other adds one
    assert changes[0].kind == "modified" or leaf.path[0] in NAMED


def test_the_size_grows_with_the_differences_and_not_with_the_plan() -> None:
    plan = max(examples().values(), key=lambda values: len(leaves(values)))
    numbers = [leaf for leaf in leaves(plan) if leaf.path[0] in {"carriers", "antennas", "pack_defaults", "devices"}]
    small = {key: value for key, value in plan.items() if key in {"carriers", "antennas", "pack_defaults", "devices"}}
    for count in (1, 5, 20):
        chosen = random.Random(count).sample(numbers, count)
        for base in (plan, small):
            new = base
            for index, leaf in enumerate(chosen):
                new = edited(new, leaf, f"edited {index}")
            assert len(diff(base, new)) == count


def shuffled(value: Any, path: tuple[str, ...], dice: random.Random) -> Any:
    """The same plan in another order: keys anywhere, items of lists in which the order means nothing."""
    if isinstance(value, dict):
        keys = dice.sample(sorted(value), len(value))
        return {key: shuffled(value[key], (*path, key), dice) for key in keys}
    if isinstance(value, list):
        items = [shuffled(item, (*path, "*"), dice) for item in value]
        return dice.sample(items, len(items)) if any(_fits(path, entry) for entry in SETS) else items
    if isinstance(value, Decimal):
        return value + Decimal("0.000000")
    return Decimal(value) if type(value) is int else value


def _fits(path: tuple[str, ...], pattern: str) -> bool:
    parts = pattern.split("/")
    return len(parts) == len(path) and all(part in {"*", here} for part, here in zip(parts, path, strict=True))


@pytest.mark.parametrize("name", sorted(examples()))
def test_another_order_and_more_zeros_are_no_difference(name: str) -> None:
    plan = examples()[name]
    for seed in range(5):
        assert diff(plan, shuffled(plan, (), random.Random(seed))) == ()


@settings(deadline=None)
@given(plans, st.randoms(use_true_random=False))
def test_another_order_of_a_random_plan_is_no_difference(plan: Values, dice: random.Random) -> None:
    assert diff(plan, shuffled(plan, (), dice)) == ()


def test_the_order_of_the_day_and_of_spares_is_a_difference() -> None:
    plan = {"day": [{"what": "doors", "at": "19:00"}, {"what": "show", "at": "20:00"}], "spares_mhz": {"ear": [1, 2]}}
    turned = {"day": plan["day"][::-1], "spares_mhz": {"ear": [2, 1]}}  # type: ignore[index]
    assert [change.pointer for change in diff(plan, turned)] == ["/day", "/spares_mhz/ear"]
    holds(plan, turned)


def test_an_entry_in_the_middle_of_the_day_is_one_change() -> None:
    day = [{"what": "doors", "at": "19:00"}, {"what": "show", "at": "20:00"}]
    more = [day[0], {"what": "cell swap", "at": "19:30"}, day[1]]
    (change,) = diff({"day": day}, {"day": more})
    assert (change.kind, change.pointer, change.new) == ("added", "/day/cell swap", more[1])


def _lists(node: dict[str, Any], path: str, definitions: dict[str, Any]) -> set[str]:
    while "$ref" in node:
        node = definitions[node["$ref"].removeprefix("#/$defs/")]
    found = set()
    for branch in node.get("anyOf", ()):
        found |= _lists(branch, path, definitions)
    if node.get("type") == "array":
        found |= {path} | _lists(node["items"], f"{path}/*", definitions)
    for key, child in node.get("properties", {}).items():
        found |= _lists(child, f"{path}/{key}", definitions)
    if isinstance(node.get("additionalProperties"), dict):
        found |= _lists(node["additionalProperties"], f"{path}/*", definitions)
    return found


def test_every_list_of_the_format_is_known_to_be_a_set_or_in_order() -> None:
    plan = schema("plan")
    written = {path.removeprefix("/") for path in _lists(plan, "", plan["$defs"])} - {"uses"}
    known = {path for path in SETS if not path.startswith("regions/")} | set(ORDERED)
    known |= {"spares_mhz/ear", "spares_mhz/mic", "spares_mhz/comms", "spares_mhz/other"}
    known.discard("spares_mhz/*")
    assert written == known
    assert set(NAMED) <= written
