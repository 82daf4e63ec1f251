"""Scenes in a merge: a new scene goes to its place by name, and two people may edit two scenes."""

from __future__ import annotations

from planlint.git.merge import merge

HEAD = "plan_format: 1\nkind: plan\nscenes:\n"
ONE = '  - {scene: "1.1", on_air: [mic-1]}\n'
TWO = '  - {scene: "1.2", on_air: [mic-2]}\n'
TEN = '  - {scene: "1.10", on_air: [mic-3]}\n'
NINE = '  - {scene: "1.9", on_air: [mic-4]}\n'


def test_a_new_scene_stands_where_its_name_belongs() -> None:
    result = merge(
        HEAD + ONE + TWO + TEN, HEAD + ONE.replace("mic-1", "mic-1, mic-9") + TWO + TEN, HEAD + ONE + TWO + NINE + TEN
    )
    assert result.clean
    assert result.text == HEAD + ONE.replace("mic-1", "mic-1, mic-9") + TWO + NINE + TEN


def test_two_scenes_edited_by_two_people() -> None:
    ours, theirs = ONE.replace("mic-1", "mic-5"), TEN.replace("mic-3", "mic-3, mic-6")
    result = merge(HEAD + ONE + TWO + TEN, HEAD + ours + TWO + TEN, HEAD + ONE + TWO + theirs)
    assert result.clean
    assert result.text == HEAD + ours + TWO + theirs


def test_scenes_out_of_their_names_order_stay_as_one_side_wrote_them() -> None:
    theirs = HEAD + TEN + ONE + TWO
    assert merge(HEAD + ONE, HEAD + ONE, theirs).text.splitlines()[3:] == theirs.splitlines()[3:]
