"""One person on two links of a kind in one scene, neither of which doubles the other.

What goes wrong: the twins share a costume rail, and the list has the elder on both microphones in the ballroom. One of the two
is open on nobody, or on somebody whose line is muted.

Bad::

    plan_format: 1
    kind: plan
    people: {rosa: {does: the baker's daughter}}
    links:
      mic-1: {kind: mic, person: rosa}
      mic-2: {kind: mic, person: rosa}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "1.2", on_air: [mic-1, mic-2]}

Good::

    plan_format: 1
    kind: plan
    people: {rosa: {does: the baker's daughter}}
    links:
      mic-1: {kind: mic, person: rosa}
      mic-2: {kind: mic, person: rosa}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "1.2", on_air: [mic-2]}

A link that doubles another, or stands in for it, is on the same person on purpose. A unit on two links in one scene is
`id-two-places`.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from planlint.facts import Facts
from planlint.facts.packs import main_packs
from planlint.facts.scenes import played, wearers
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Scene
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.scene_wording import lacking_scenes

RULE = Rule(severity="warning", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person and two links of a kind that share a scene."""
    yield from lacking_scenes(plan)
    scenes: dict[tuple[str, str, str], list[Scene]] = {}
    unknown: set[str] = set()
    for scene, ids in played(facts):
        links = [plan.links[name] for name in sorted(ids & plan.links.keys())]
        unknown |= {need for link in links for need in _lacking(link)}
        for one, other in combinations(links, 2):
            for person in sorted(_people(one) & _people(other)) if one.kind == other.kind else ():
                if not _on_purpose(one, other):
                    scenes.setdefault((person, one.id, other.id), []).append(scene)
    if unknown:
        yield Unchecked(tuple(sorted(unknown)))
    for (person, one_id, other_id), found in sorted(scenes.items()):
        yield _fault(person, (plan.links[one_id], plan.links[other_id]), list(dict.fromkeys(found)))


def _people(link: Link) -> frozenset[str]:
    if link.kind == "mic" and link.person:
        return frozenset({link.person})
    return frozenset(person for _, person in wearers(link))


def _lacking(link: Link) -> list[str]:
    if link.kind == "mic":
        return [] if link.person or link.stands_in_for else [f"{link.at}/person"]
    return [f"{pack.at}/person" for pack in main_packs(link) if pack.person is None]


def _on_purpose(one: Link, other: Link) -> bool:
    """Say whether one of two links doubles the other or stands in for it, by itself or by its packs."""
    pairs = ((one, other), (other, one))
    if any(first.stands_in_for == second.id or first.spec.get("doubles") == second.id for first, second in pairs):
        return True
    packs = {pack.id: link.spec["packs"][pack.id].get("doubles") for link in (one, other) for pack in link.packs}
    return any(doubled in packs for doubled in packs.values())


def _fault(person: str, links: tuple[Link, Link], scenes: list[Scene]) -> Fault:
    one, other = links
    names = joined(scene.name for scene in scenes)
    idle = "open on nobody" if one.kind == "mic" else "worn by nobody"
    units = [unit for unit in (one.tx, other.tx) if unit] if one.kind == "mic" else []
    return Fault(
        f"{scenes[0].at}/on_air",
        f"{person} is on {one.id} and {other.id} in scene {names}: one of the two is {idle}. Take one off the scene, put the "
        f"right person on it, or write doubles: {one.id} on {other.id} if both are worn on purpose.",
        (one.id, other.id, *units),
        {"person": person, "scenes": len(scenes)},
        tuple(Mark(f"{scene.at}/on_air", f"scene {scene.name}") for scene in scenes[1:]),
    )
