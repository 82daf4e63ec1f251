"""What the rules about what was found share: what is missing, and how settings are named in a message."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planlint.facts.as_set import Differs, Found, links_of, words
from planlint.finding import Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.packs import joined


def lacking_record(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing where there is no record of what the units showed."""
    if "found" not in plan.values:
        yield Unchecked(("/found",))


def subjects(plan: Plan, found: Found) -> tuple[str, ...]:
    """Return a unit and its links, for `subjects`."""
    return (found.unit, *(link.id for link in links_of(plan, found.unit)))


def found_words(differing: Iterable[Differs]) -> str:
    """Write settings as they were found: `limiter -24 dB and ear feed mono`."""
    return joined(words(item.key, item.found) for item in differing)


def meant_words(differing: Iterable[Differs]) -> str:
    """Write the same settings as the plan wants them."""
    return joined(words(item.key, item.meant.value) for item in differing)


def marks(differing: Iterable[Differs]) -> tuple[Mark, ...]:
    """Return a mark at each setting in the plan."""
    return tuple(Mark(item.meant.at, f"the plan wants {words(item.key, item.meant.value)}") for item in differing)
