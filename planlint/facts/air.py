"""Who is on the air together: half-open intervals of the day and the ids in each.

Without `day` all links and all others are on together. With it, for each interval: the ids its entries name
in `on_air`, every link that is named nowhere, and others by their own times, or always where they have none
and are named nowhere. `all` names every link that is no stand-in. Stand-ins are on only where a list names
them; unused links never are.

Scenes part the day's `show` entries (those they say, else all scenes), and everything where there is no day or no show
in it: what a scene names is on only in the scenes that name it, and outside them only where the day puts it on. What
the clock keeps off, no scene puts on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from itertools import pairwise
from typing import NamedTuple

from planlint.facts.wide_emissions import leaders, one_for_all
from planlint.plan.model import DayEntry, Plan, Scene

SHOW = "show"


class Interval(NamedTuple):
    """A stretch of the day, [start, end) in minutes since midnight of the show's date, and who is on in it.

    Both are None for the one interval of a plan that writes no day. Where scenes part it, `by_scene` has one set for each of
    `scenes` and `ids` whoever is on in any of them.
    """

    start_min: int | None
    end_min: int | None
    ids: frozenset[str]
    by_scene: tuple[frozenset[str], ...] = ()
    scenes: tuple[Scene, ...] = ()

    @property
    def sets(self) -> tuple[frozenset[str], ...]:
        """Who is on together: by scene where scenes part the interval, else all of them at once."""
        return self.by_scene or (self.ids,)


def intervals(plan: Plan) -> tuple[Interval, ...]:
    """Return the intervals of the day in order; a plan without a day has one that never ends."""
    usual = frozenset(name for name, link in plan.links.items() if link.used and link.stands_in_for is None)
    staged = _staged(plan)
    if not plan.day:
        everybody = (usual - staged) | frozenset(plan.others)
        return (_in_scenes(plan, Interval(None, None, everybody), plan.scenes, usual, staged),)
    listed = {name for entry in plan.day if isinstance(entry.on_air, tuple) for name in entry.on_air}
    spans = _spans(plan)
    edges = sorted({edge for span in spans.values() for edge in span} | _other_edges(plan))
    found = []
    for start, end in pairwise(edges):
        ids = _ids(plan, start, usual, listed | staged, spans)
        scenes = _played(plan, start, spans)
        found.append(_in_scenes(plan, Interval(start, end, ids), scenes, usual, staged, listed))
    return tuple(found)


def present(plan: Plan) -> tuple[frozenset[str], ...]:
    """Return the different sets of ids that are on together, without those that another set contains."""
    return _largest(ids for interval in intervals(plan) for ids in interval.sets)


def together(plan: Plan) -> tuple[frozenset[str], ...]:
    """Return the sets of emissions that are on together: of links in one wide emission, one stands for all."""
    leader_of = leaders(plan)
    return _largest(one_for_all(leader_of, ids) for ids in present(plan)) if leader_of else present(plan)


def scenes_played(plan: Plan) -> frozenset[str]:
    """Return the names of the scenes that are played in some show of the day; without a day or a show, all."""
    shows = [entry for entry in plan.day if entry.what == SHOW]
    if not shows or any(entry.scenes is None for entry in shows):
        return frozenset(scene.name for scene in plan.scenes)
    return frozenset(name for entry in shows for name in entry.scenes or ())


def _largest(sets: Iterable[frozenset[str]]) -> tuple[frozenset[str], ...]:
    found = sorted(set(sets), key=lambda ids: (-len(ids), sorted(ids)))
    kept: list[frozenset[str]] = []
    for ids in found:
        if not any(ids <= larger for larger in kept):
            kept.append(ids)
    return tuple(kept)


def _staged(plan: Plan) -> frozenset[str]:
    """Return the ids that scenes name in a list."""
    return frozenset(name for scene in plan.scenes if scene.on_air != "all" for name in scene.on_air)


def _played(plan: Plan, minute: int, spans: dict[DayEntry, tuple[int, int]]) -> tuple[Scene, ...]:
    """Return the scenes played at a minute of the day; none outside the shows."""
    shows = [entry for entry in plan.day if entry.what == SHOW]
    if not shows:
        return plan.scenes
    now = [entry for entry in shows if spans[entry][0] <= minute < spans[entry][1]]
    if any(entry.scenes is None for entry in now):
        return plan.scenes
    names = {name for entry in now for name in entry.scenes or ()}
    return tuple(scene for scene in plan.scenes if scene.name in names)


def _in_scenes(
    plan: Plan,
    interval: Interval,
    scenes: tuple[Scene, ...],
    usual: frozenset[str],
    staged: frozenset[str],
    listed: Collection[str] = (),
) -> Interval:
    """Return an interval parted by the scenes played in it; `listed` are ids that the day itself names."""
    if not scenes:
        return interval
    rest = interval.ids - staged
    sets = []
    for scene in scenes:
        names = usual if scene.on_air == "all" else frozenset(scene.on_air)
        allowed = {name for name in names if name in interval.ids or (name not in listed and _may_join(plan, name))}
        sets.append(rest | allowed)
    return interval._replace(ids=frozenset().union(*sets), by_scene=tuple(sets), scenes=scenes)


def _may_join(plan: Plan, name: str) -> bool:
    """Say whether a scene alone puts an id on: a link used tonight, or somebody else without times of their own."""
    other = plan.others.get(name)
    return (other.start_min is None and other.end_min is None) if other else _can_be_on(plan, name)


def _spans(plan: Plan) -> dict[DayEntry, tuple[int, int]]:
    last = max((entry.end_min or entry.start_min for entry in plan.day), default=0)
    return {
        entry: (entry.start_min, entry.end_min if entry.end_min is not None else max(last, entry.start_min + 1))
        for entry in plan.day
    }


def _other_edges(plan: Plan) -> set[int]:
    return {edge for other in plan.others.values() for edge in (other.start_min, other.end_min) if edge is not None}


def _ids(
    plan: Plan, minute: int, usual: frozenset[str], named: set[str], spans: dict[DayEntry, tuple[int, int]]
) -> frozenset[str]:
    on = set(usual - named)
    for entry, (start, end) in spans.items():
        if start <= minute < end:
            if entry.on_air == "all":
                on |= usual
            elif entry.on_air is not None:
                on |= {name for name in entry.on_air if name in plan.others or _can_be_on(plan, name)}
    for name, other in plan.others.items():
        if other.start_min is None and other.end_min is None:
            if name not in named:
                on.add(name)
        elif (other.start_min is None or other.start_min <= minute) and (
            other.end_min is None or minute < other.end_min
        ):
            on.add(name)
    return frozenset(on)


def _can_be_on(plan: Plan, name: str) -> bool:
    return name in plan.links and plan.links[name].used
