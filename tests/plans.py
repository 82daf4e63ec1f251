"""Plans from text, for tests below the engine."""

from __future__ import annotations

from pathlib import Path

from planlint.facts import Facts
from planlint.plan import Plan, Shelf, build, resolve


def plan_of(folder: Path, text: str) -> Plan:
    (folder / "plan.yaml").write_text(text, "utf-8")
    shelf = Shelf(folder)
    assert shelf.judged("plan.yaml").troubles == (), shelf.judged("plan.yaml").troubles
    return build(resolve(shelf, "plan.yaml"), shelf)


def facts_of(folder: Path, text: str) -> Facts:
    return Facts(plan_of(folder, text))
