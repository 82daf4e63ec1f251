"""Two scenes of one name.

What goes wrong: a scene was moved and its old line was not taken out. Who is on in it is said twice, and whoever names the
scene means one of the two.

Bad::

    plan_format: 1
    kind: plan
    links: {mic-1: {kind: mic}, mic-2: {kind: mic}}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "1.1", on_air: [mic-2]}

Good::

    plan_format: 1
    kind: plan
    links: {mic-1: {kind: mic}, mic-2: {kind: mic}}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "1.2", on_air: [mic-2]}

Source: the plan's own list; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Scene
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="file", source="the plan's own list")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scene whose name stands above it already."""
    if "scenes" not in plan.values:
        yield Unchecked(("/scenes",))
    first: dict[str, Scene] = {}
    for scene in plan.scenes:
        if scene.name in first:
            old = first[scene.name]
            ids = {name for each in (old, scene) if each.on_air != "all" for name in each.on_air}
            yield Fault(
                f"{scene.at}/scene",
                f"Scene {scene.name} stands above already. Number this one as it is played, or take out the line that is left over.",
                tuple(sorted(ids)),
                {"scene": scene.name},
                (Mark(f"{old.at}/scene", f"scene {scene.name} is here"),),
            )
        first.setdefault(scene.name, scene)
