"""The show before: what the units come from."""

from __future__ import annotations

from planlint.engine.check import siblings
from planlint.facts.shows import show_before
from planlint.plan import Shelf, build, resolve


class NoShowBeforeError(ValueError):
    """There is no earlier show to compare with; the message says why."""


def show_file_before(shelf: Shelf, file: str) -> str:
    """Return the file of the tour's show before this one: the record of what was found then, if there is one.

    Raises:
        NoShowBeforeError: the show has no date or no tour, or no earlier show of the tour stands under the root.
    """
    plan = build(resolve(shelf, file), shelf)
    if plan.date is None:
        raise NoShowBeforeError(f"{file}: write show.date: the show before is found by it")
    others = siblings(shelf, plan)
    if others is None:
        raise NoShowBeforeError(f"{file}: the other shows of its tour cannot be read; planlint check says why")
    before = show_before(plan, others)
    if before is None:
        raise NoShowBeforeError(f"{file}: no show of its tour before {plan.date} stands under {shelf.root.name}/")
    return _record(shelf, before.file) or before.file


def _record(shelf: Shelf, file: str) -> str | None:
    for found in shelf.plan_files():
        if shelf.judged(found).kind == "as-set" and any(
            used.document.file == file for used in resolve(shelf, found).files
        ):
            return found
    return None
