"""Who is on together in scenes, and swaps between them, against brute force written from the keys' own descriptions."""

from __future__ import annotations

import tempfile
from itertools import combinations
from pathlib import Path
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planlint.facts.scenes import changes
from tests.plans import facts_of

QUICK = settings(max_examples=150, deadline=None, derandomize=True, database=None)
NAMES = ("a", "b", "c", "d", "e")
LISTS = st.lists(st.sampled_from(NAMES), unique=True)
SCENES = st.lists(st.just("all") | LISTS, min_size=1, max_size=4)
#: What stands in the day: nothing, or entries with their hours, whom they name, and which scenes they play.
ENTRY = st.tuples(
    st.sampled_from(["show", "sound check"]),
    st.integers(0, 6),
    st.integers(1, 4),
    st.none() | st.just("all") | LISTS,
    st.none() | st.lists(st.integers(0, 3), unique=True),
)


def document(scenes: list[Any], day: list[Any] | None) -> dict[str, Any]:
    links: dict[str, Any] = {name: {"kind": "mic"} for name in NAMES}
    links["e"]["stands_in_for"] = "a"
    found: dict[str, Any] = {
        "plan_format": 1,
        "kind": "plan",
        "links": links,
        "scenes": [{"scene": f"s{number}", "on_air": names} for number, names in enumerate(scenes)],
    }
    if day is not None:
        found["day"] = [
            {"what": what, "at": f"{10 + start:02}:00", "until": f"{10 + start + hours:02}:00"}
            | ({} if names is None else {"on_air": names})
            | (
                {"scenes": [f"s{n}" for n in played if n < len(scenes)]}
                if what == "show" and played is not None
                else {}
            )
            for what, start, hours, names, played in day
        ]
    return found


def minute_by_minute(plan: dict[str, Any]) -> set[frozenset[str]]:
    """The largest sets of links on together, hour by hour and scene by scene, from the keys' descriptions."""
    main = {name for name, link in plan["links"].items() if "stands_in_for" not in link}

    def everybody(names: Any) -> set[str]:
        return main if names == "all" else set(names)

    staged = {name for scene in plan["scenes"] if scene["on_air"] != "all" for name in scene["on_air"]}
    day = plan.get("day")
    if day is None:
        found = [(main - staged) | everybody(scene["on_air"]) for scene in plan["scenes"]]
    else:
        listed = {name for entry in day if isinstance(entry.get("on_air"), list) for name in entry["on_air"]}
        shows = [entry for entry in day if entry["what"] == "show"]
        found = []
        last = max(int(entry["until"][:2]) for entry in day)
        for hour in range(min(int(entry["at"][:2]) for entry in day), last):
            now = [entry for entry in day if int(entry["at"][:2]) <= hour < int(entry["until"][:2])]
            clock = main - listed - staged
            for entry in now:
                clock |= everybody(entry.get("on_air", []))
            playing = [entry for entry in now if entry["what"] == "show"]
            names = {name for entry in playing for name in entry.get("scenes", ())}
            every = not shows or any("scenes" not in entry for entry in playing)
            scenes = [scene for scene in plan["scenes"] if every or scene["scene"] in names]
            if not scenes:
                found.append(clock)
            for scene in scenes:
                mine = {name for name in everybody(scene["on_air"]) if name in clock or name not in listed}
                found.append((clock - staged) | mine)
    sets = {frozenset(ids) for ids in found}
    return {ids for ids in sets if not any(ids < more for more in sets)}


@QUICK
@given(SCENES, st.none() | st.lists(ENTRY, min_size=1, max_size=4))
def test_who_is_on_together_against_every_hour_and_scene(scenes: list[Any], day: list[Any] | None) -> None:
    plan = document(scenes, None if day is None else sorted(day, key=lambda entry: entry[1]))
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), yaml.safe_dump(plan, sort_keys=False))
        assert set(facts.present) == set(facts.together) == minute_by_minute(plan)


def test_two_links_of_different_scenes_never_meet_and_meet_at_the_sound_check(tmp_path: Path) -> None:
    text = """plan_format: 1
kind: plan
links: {a: {kind: mic}, b: {kind: mic}, c: {kind: mic}}
scenes: [{scene: one, on_air: [a]}, {scene: two, on_air: [b]}]
"""
    facts = facts_of(tmp_path, text)
    assert (facts.meet("a", "b"), facts.meet("a", "c"), facts.meet("b", "c")) == (False, True, True)
    facts = facts_of(tmp_path, text + 'day: [{what: sound check, at: "17:00", until: "18:00", on_air: all}]\n')
    assert not facts.meet("a", "b"), "without a show in the day the scenes part all of it"
    day = """day:
  - {what: sound check, at: "17:00", until: "18:00", on_air: all}
  - {what: show, at: "19:00", until: "21:00"}
"""
    assert facts_of(tmp_path, text + day).meet("a", "b")


@QUICK
@given(st.lists(st.lists(st.sampled_from("abc"), max_size=1), min_size=2, max_size=7))
def test_swaps_of_one_pack_against_every_pair_of_scenes(order: list[list[str]]) -> None:
    """One pack on three links, in each scene on one of them at most."""
    text = {
        "plan_format": 1,
        "kind": "plan",
        "devices": {"BP": {}},
        "links": {name: {"kind": "mic", "mic": "BP"} for name in "abc"},
        "scenes": [{"scene": f"s{number}", "on_air": names} for number, names in enumerate(order)],
    }
    staged = {names[0] for names in order if names}
    for name in "abc":
        if name not in staged:
            del text["links"][name]  # type: ignore[attr-defined]
    expected = set()
    for (i, one), (j, other) in combinations(list(enumerate(order)), 2):
        if one and other and one != other and not any(order[i + 1 : j]):
            expected.add((one[0], other[0], i, j, j - i - 1))
    with tempfile.TemporaryDirectory() as folder:
        facts = facts_of(Path(folder), yaml.safe_dump(text, sort_keys=False))
        found = {
            (each.before, each.after, int(each.last.name[1:]), int(each.first.name[1:]), each.between)
            for each in changes(facts)
        }
    assert found == expected
