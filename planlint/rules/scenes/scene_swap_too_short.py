"""A unit that changes links between two scenes with too few scenes in between.

What goes wrong: the herald's pack goes to the cook. The herald leaves at the end of the scene, the cook sings in the first bar of
the next, and the pack is on a ladder in the wings. `policy.scenes_between_swaps` says how many scenes it takes; unwritten, one
(common practice, no source).

Bad::

    plan_format: 1
    kind: plan
    policy: {scenes_between_swaps: 1}
    devices: {BP-1: {}}
    links:
      mic-1: {kind: mic, mic: BP-1, person: herald}
      mic-2: {kind: mic, mic: BP-1, person: cook}
    people: {herald: {does: the herald}, cook: {does: the cook}}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "1.2", on_air: [mic-2]}

Good::

    plan_format: 1
    kind: plan
    policy: {scenes_between_swaps: 1}
    devices: {BP-1: {}}
    links:
      mic-1: {kind: mic, mic: BP-1, person: herald}
      mic-2: {kind: mic, mic: BP-1, person: cook}
    people: {herald: {does: the herald}, cook: {does: the cook}}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "1.2", on_air: []}
      - {scene: "1.3", on_air: [mic-2]}

Between two shows of the day that list their scenes there is a break, which is time enough.

Source: a count; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts, limits
from planlint.facts.scenes import Change, carried_units, changes, wearers
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scene_wording import lacking_scenes

RULE = Rule(
    severity="warning", group="link", source="a count; common practice, no source", accept={"scenes_between": "lower"}
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unit that changes links with fewer scenes in between than the house wants."""
    yield from lacking_scenes(plan)
    staged = {name for scene in plan.scenes if scene.on_air != "all" for name in scene.on_air}
    bare = [
        link for name, link in sorted(plan.links.items()) if name in staged and link.used and not carried_units(link)
    ]
    if bare:
        yield Unchecked(tuple(_end_at(link) for link in bare), tuple(link.id for link in bare))
    least = int(limits.number(plan, "scenes_between_swaps"))
    for change in changes(facts):
        if change.between < least:
            yield _fault(plan, change, least)


def _end_at(link: Link) -> str:
    return f"{link.at}/{'mic' if link.kind == 'mic' else 'packs'}"


def _fault(plan: Plan, change: Change, least: int) -> Fault:
    before, after = (_who(plan.links[name], change.unit) for name in (change.before, change.after))
    between = "no scene" if change.between == 0 else f"{change.between} scene{'' if change.between == 1 else 's'}"
    return Fault(
        f"{change.first.at}/on_air",
        f"{change.unit} is on {before} to the end of scene {change.last.name} and on {after} from scene {change.first.name}, with {between} "
        f"in between; it takes {least}. Rig a second unit for {change.after} and set it to that link at both ends, or part the scenes.",
        (change.unit, change.before, change.after),
        {"scenes_between": change.between, "limit_scenes": least, "scene": change.first.name},
        (Mark(f"{change.last.at}/on_air", f"{change.before} is on here"),),
        rank=change.between,
    )


def _who(link: Link, unit: str) -> str:
    person = next((person for worn, person in wearers(link) if worn == unit), None)
    return f"{link.id} ({person})" if person else link.id
