"""What the rules about the day share: what is missing, and how a unit and its hours are named."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts.runtime import Runner, runners
from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.rules.packs import lacking_packs


def lacking_runners(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where units that run on cells are not named."""
    yield from lacking_packs(plan)
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.used and link.kind == "mic" and link.stands_in_for is None and link.tx is None:
            yield Unchecked((f"{link.at}/mic",), (link.id,))


def all_runners(plan: Plan) -> list[Runner]:
    """Return each unit that runs on cells, once, by id; on several links, as it is on the first of them."""
    found: dict[str, Runner] = {}
    for runner in runners(plan):
        found.setdefault(runner.device.id, runner)
    return [found[name] for name in sorted(found)]


def named(runner: Runner) -> str:
    """Name a unit with whoever wears or holds it: `PK-1 (vox)`."""
    return f"{runner.device.id} ({runner.person})" if runner.person else runner.device.id


def hours(minutes: int) -> str:
    """Write minutes as hours without superfluous zeros: `7.25`, `4`."""
    return f"{minutes / 60:.2f}".rstrip("0").rstrip(".")
