"""A scene that no show of the day plays, where every show lists its scenes.

What goes wrong: the second half was split and the new scene was put into neither half. For the plan nobody is ever on in it,
and what sits on one carrier there goes unseen.

Bad::

    plan_format: 1
    kind: plan
    links: {mic-1: {kind: mic}, mic-2: {kind: mic}}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "2.1", on_air: [mic-2]}
    day:
      - {what: show, at: "19:30", until: "20:40", scenes: ["1.1"]}

Good::

    plan_format: 1
    kind: plan
    links: {mic-1: {kind: mic}, mic-2: {kind: mic}}
    scenes:
      - {scene: "1.1", on_air: [mic-1]}
      - {scene: "2.1", on_air: [mic-2]}
    day:
      - {what: show, at: "19:30", until: "20:40", scenes: ["1.1"]}
      - {what: show, at: "21:00", until: "22:00", scenes: ["2.1"]}

Source: the plan's own lists; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.air import SHOW, scenes_played
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="the plan's own lists")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scene that no show lists."""
    needs = tuple(f"/{key}" for key in ("scenes", "day") if key not in plan.values)
    if needs:
        yield Unchecked(needs)
    names = scenes_played(plan)
    shows = [entry for entry in plan.day if entry.what == SHOW]
    for scene in plan.scenes:
        if scene.name not in names:
            ids = () if scene.on_air == "all" else tuple(sorted(scene.on_air))
            yield Fault(
                f"{scene.at}/scene",
                f"Scene {scene.name} is in no show of the day: nobody is reckoned to be on in it. Add it to the show that plays it, or "
                "take it out.",
                ids,
                {"scene": scene.name},
                tuple(Mark(f"{entry.at}/scenes", "not in this show") for entry in shows),
            )
