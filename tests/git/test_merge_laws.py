"""Laws of the three-way merge on random plans: what a merge of leaves one by one says is what the text says."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import yaml
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planlint.diff.tree import NAMED, canonical, names, order
from planlint.document import parse
from planlint.git.merge import merge
from planlint.schema.read import walk
from planlint.schema.store import schema
from tests.diff.fixtures import Values, edited, leaves, plans

HEAD = "plan_format: 1\nkind: plan\n"
GONE = "gone"


class Dumper(yaml.SafeDumper):
    """Writes exact decimals as plain numbers, and no anchors."""

    def ignore_aliases(self, data: object) -> bool:
        return True


Dumper.add_representer(
    Decimal, lambda dumper, value: dumper.represent_scalar("tag:yaml.org,2002:float", f"{value:.3f}")
)


def written(values: Values, style: bool | None) -> str:
    body = (
        yaml.dump(values, Dumper=Dumper, default_flow_style=style, sort_keys=False, allow_unicode=True)
        if values
        else ""
    )
    return HEAD + (body if style is not True else "".join(
        yaml.dump({key: value}, Dumper=Dumper, default_flow_style=None, sort_keys=False, allow_unicode=True)
        for key, value in values.items()
    ))  # fmt: skip


def read(text: str) -> Values:
    document = parse(text, "")
    assert document.root is not None
    assert not document.troubles, (document.troubles, text)
    return {
        key: value
        for key, value in walk(document.root, schema("plan")).value.items()
        if key not in {"plan_format", "kind"}
    }


def flat(value: Any, path: tuple[Any, ...] = ()) -> dict[tuple[Any, ...], Any]:
    """Every leaf of a plan by its path: an item of a list of maps by its name, of a set by itself."""
    if isinstance(value, dict):
        return {leaf: found for key, child in value.items() for leaf, found in flat(child, (*path, key)).items()}
    if isinstance(value, list):
        if len(path) == 1 and path[0] in NAMED:
            named = zip(names(path[0], value), value, strict=True)
            return {leaf: found for name, item in named for leaf, found in flat(item, (*path, name)).items()}
        if path[-1] in {"holds", "stored_in", "tv_occupied", "covers", "on_air"}:
            return {(*path, order(item)): item for item in value}
    return {path: value}


def apart(base: Values, ours: Values, theirs: Values) -> dict[tuple[Any, ...], Any] | None:
    """The merge of all leaves, each for itself; None where both sides changed one in different ways."""
    one, two, three = flat(base), flat(ours), flat(theirs)
    merged = {}
    for leaf in one.keys() | two.keys() | three.keys():
        before, mine, other = (side.get(leaf, GONE) for side in (one, two, three))
        if mine == other or other == before:
            found = mine
        elif mine == before:
            found = other
        else:
            return None
        if found != GONE:
            merged[leaf] = found
    return merged


def resolved(text: str, side: str) -> str:
    """A text with every conflict decided for one side, as a person would do it."""
    pick = {"ours": r"\1", "theirs": r"\2"}[side]
    return re.sub(r"^<<<<<<< ours\n(.*?)^=======\n(.*?)^>>>>>>> theirs\n", pick, text, flags=re.DOTALL | re.MULTILINE)


@st.composite
def triples(draw: Any) -> tuple[Values, Values, Values]:
    base = draw(plans)
    sides = []
    for _ in range(2):
        side = base
        for _ in range(draw(st.integers(1, 3))):
            where = leaves(side)
            if where and draw(st.booleans()):
                side = edited(side, draw(st.sampled_from(where)), draw(st.sampled_from(["a-0", "b-9", 7])))
            else:
                other = draw(plans)
                side = {
                    **side,
                    **{
                        key: {**side.get(key, {}), **value}
                        for key, value in other.items()
                        if isinstance(value, dict) and isinstance(side.get(key, {}), dict)
                    },
                }
                gone = draw(st.sampled_from([*side, None]))
                side = {key: value for key, value in side.items() if key != gone or draw(st.booleans())}
        sides.append(side)
    return base, sides[0], sides[1]


@settings(deadline=None, max_examples=150)
@given(triples(), st.sampled_from([False, None, True]))
def test_a_clean_merge_says_what_its_leaves_say_and_a_conflict_keeps_both(
    three: tuple[Values, Values, Values], style: bool | None
) -> None:
    texts = [written(values, style) for values in three]
    base, ours, theirs = (read(text) for text in texts)
    result = merge(*texts)
    expected = apart(base, ours, theirs)
    if result.clean:
        assert expected is not None
        said = flat(read(result.text))
        assert said.keys() == expected.keys()
        assert all(order(said[leaf]) == order(expected[leaf]) for leaf in expected)
    else:
        assert result.conflicts
        assert "<<<<<<< ours" in result.text
        if by_hand(result.conflicts):
            return
        before = flat(base)
        for name, side in (("ours", ours), ("theirs", theirs)):  # decided for one side, all that it changed is there
            said = flat(read(resolved(result.text, name)))
            changed = {leaf for leaf, value in flat(side).items() if before.get(leaf, GONE) != value}
            assert {leaf: said.get(leaf, GONE) for leaf in changed} == {leaf: flat(side)[leaf] for leaf in changed}


def by_hand(conflicts: tuple[str, ...]) -> bool:
    return any("by hand" in words for words in conflicts)


@settings(deadline=None, max_examples=60)
@given(plans, plans, st.sampled_from([False, None, True]))
def test_one_side_that_changed_nothing_leaves_the_other(old: Values, new: Values, style: bool | None) -> None:
    before, after = written(old, style), written(new, style)
    for result in (merge(before, after, before), merge(before, before, after)):
        assert result.clean
        assert canonical(read(result.text)) == canonical(new)
    assert merge(before, after, after).text == after


@settings(deadline=None, max_examples=40)
@given(plans, plans)
def test_two_sides_that_added_the_file_keep_both(ours: Values, theirs: Values) -> None:
    result = merge("", written(ours, None), written(theirs, None))
    assume(not by_hand(result.conflicts))
    said = flat(read(resolved(result.text, "ours"))) | flat(read(resolved(result.text, "theirs")))
    for leaf in flat(read(written(ours, None))).keys() | flat(read(written(theirs, None))).keys():
        assert leaf in said
