"""The show before: what the units come from.

Only the shows of the tour are looked at, and of those only what dates them. A file that cannot be read and may be the
one is passed over and named: whoever compares then knows what with.
"""

from __future__ import annotations

import posixpath
from collections.abc import Iterator
from typing import NamedTuple

from planlint.document import Document
from planlint.document.nodes import Mapping, Scalar
from planlint.engine.check import unjudged
from planlint.engine.select import shows_using
from planlint.facts.shows import show_before
from planlint.plan import Plan, Shelf, build, resolve


class NoShowBeforeError(ValueError):
    """There is no earlier show to compare with; the message says why."""


class Passed(NamedTuple):
    """A file that may be the show before, or a record of it, and why it was passed over."""

    file: str
    why: str


class Before(NamedTuple):
    """The file of the show before, or of the record of what was found then; and what was passed over."""

    file: str
    passed: tuple[Passed, ...]


def show_file_before(shelf: Shelf, file: str) -> Before:
    """Return the file of the tour's show before this one: the record of what was found then, if there is one.

    Raises:
        NoShowBeforeError: the show has no date or no tour, or no earlier show of the tour that can be read stands
            under the root.
    """
    plan = build(resolve(shelf, file), shelf)
    if plan.date is None:
        raise NoShowBeforeError(f"{file}: write show.date: the show before is found by it")
    tour = next((used for used in _used(shelf, file) if shelf.judged(used).kind == "tour" and used != file), None)
    if tour is None:
        raise NoShowBeforeError(f"{file}: it uses no tour, and the show before is found by that")
    others = {other: unjudged(shelf.resolved(other)) for other in shows_using(shelf, tour) if other != file}
    before = show_before(plan, [shelf.plan(other) for other, why in others.items() if why is None])
    unread = [Passed(other, why) for other, why in others.items() if why is not None]
    unread += [Passed(other, "it gives no document") for other in _broken(shelf, tour) if other not in others]
    passed = [one for one in unread if _may_be_it(shelf.document(one.file), plan, before)]
    if before is None:
        raise NoShowBeforeError(
            f"{file}: no show of its tour before {plan.date} stands under {shelf.root.name}/" + _words(passed)
        )
    passed += [Passed(other, "it gives no document") for other in _broken(shelf, before.file)]
    return Before(_record(shelf, before.file) or before.file, tuple(dict.fromkeys(passed)))


def _words(passed: list[Passed]) -> str:
    names = ", ".join(f"{one.file} ({one.why})" for one in passed)
    return f"; passed over: {names}; planlint check says more" if passed else ""


def _used(shelf: Shelf, file: str) -> list[str]:
    return [judged.document.file for judged in shelf.resolved(file).files]


def _broken(shelf: Shelf, file: str) -> Iterator[str]:
    """Yield the files that give no document and whose text mentions a file."""
    name = posixpath.basename(file)
    for found in shelf.plan_files():
        if found != file and name in shelf.text(found) and shelf.document(found).fatal:
            yield found


def _may_be_it(document: Document, plan: Plan, before: Plan | None) -> bool:
    """Say whether a file's date, if it can be read, lies before the show and not before what was found."""
    date = _date(document)
    return date is None or ((before is None or date >= str(before.date)) and date < str(plan.date))


def _date(document: Document) -> str | None:
    show = document.root.entries.get("show") if isinstance(document.root, Mapping) else None
    date = show.value.entries.get("date") if show and isinstance(show.value, Mapping) else None
    return date.value.text if date and isinstance(date.value, Scalar) else None


def _record(shelf: Shelf, file: str) -> str | None:
    for found in shelf.plan_files():
        if shelf.judged(found).kind == "as-set" and file in _used(shelf, found):
            return found
    return None
