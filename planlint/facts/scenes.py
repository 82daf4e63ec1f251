"""Scenes: who is on in each as it is played, and units that go from one link to another between two of them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.air import SHOW
from planlint.facts.packs import main_packs
from planlint.facts.wide_emissions import share
from planlint.plan.model import Link, Plan, Scene

if TYPE_CHECKING:
    from planlint.facts import Facts


class Change(NamedTuple):
    """A unit that is on one link in a scene and on another in a later one, on none in between."""

    unit: str
    before: str
    after: str
    last: Scene
    first: Scene
    between: int


def played(facts: Facts) -> tuple[tuple[Scene, frozenset[str]], ...]:
    """Return each scene with the ids that are on in it, in order; once for each different set."""
    order = {scene: number for number, scene in enumerate(facts.plan.scenes)}
    found = {(scene, ids) for each in facts.intervals for scene, ids in zip(each.scenes, each.by_scene, strict=True)}
    return tuple(sorted(found, key=lambda each: (order[each[0]], sorted(each[1]))))


def runs(plan: Plan) -> tuple[tuple[Scene, ...], ...]:
    """Return the scenes as they follow each other without a break: one run for each show that lists its scenes."""
    lists = [entry.scenes for entry in plan.day if entry.what == SHOW]
    if not lists or None in lists:
        return (plan.scenes,)
    different = dict.fromkeys(frozenset(names or ()) for names in lists)
    return tuple(tuple(scene for scene in plan.scenes if scene.name in names) for names in different)


def wearers(link: Link) -> Iterator[tuple[str, str]]:
    """Yield what is worn or held on a link: a unit and the person, as far as both are written."""
    if link.kind == "mic" and link.tx and link.person:
        yield link.tx, link.person
    for pack in main_packs(link):
        if pack.person:
            yield pack.id, pack.person


def carried_units(link: Link) -> tuple[str, ...]:
    """Return the units that people carry on a link: a microphone's transmitter, or its packs that are no spares."""
    transmitter = (link.tx,) if link.kind == "mic" and link.tx else ()
    return (*transmitter, *(pack.id for pack in main_packs(link)))


def changes(facts: Facts) -> Iterator[Change]:
    """Yield each unit that goes from one link to another between two scenes of a run, by unit and scene."""
    plan = facts.plan
    on: dict[Scene, frozenset[str]] = {}
    for scene, ids in played(facts):
        on[scene] = on.get(scene, frozenset()) | ids
    found: set[Change] = set()
    for run in runs(plan):
        where: dict[str, list[tuple[int, str]]] = {}
        for number, scene in enumerate(run):
            for name in sorted(on.get(scene, frozenset()) & plan.links.keys()):
                for unit in carried_units(plan.links[name]):
                    where.setdefault(unit, []).append((number, name))
        for unit, places in where.items():
            for (one, before), (other, after) in pairwise(places):
                if before != after and one != other and not share(plan, before, after):
                    found.add(Change(unit, before, after, run[one], run[other], other - one - 1))
    order = {scene: number for number, scene in enumerate(plan.scenes)}
    yield from sorted(found, key=lambda each: (each.unit, order[each.last], order[each.first], each.before, each.after))
