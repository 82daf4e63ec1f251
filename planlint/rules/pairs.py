"""Pairs of ids that are on the air together, and the carriers that are missing for judging them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from planlint.facts import Facts
from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.rules.packs import joined


def lacking_carriers(plan: Plan, facts: Facts) -> Iterator[Unchecked]:
    """Yield what is not checked because links used tonight have no carrier; nothing to check counts as lacking.

    Units that pick their own carrier lack none.
    """
    lacking = tuple(
        name for name in sorted(plan.links) if plan.links[name].wants_carrier and name not in facts.carriers
    )
    if lacking:
        yield Unchecked(tuple(plan.links[name].carrier_at for name in lacking), lacking)
    elif not plan.links:
        yield Unchecked(("/links",))


def moves_with(facts: Facts, *names: str) -> str:
    """Say which links move together with one, because it stands for a wide emission; empty where none does."""
    said = ""
    for name in names:
        others = sorted(other for other, leader in facts.leaders.items() if leader == name and other != name)
        if others:
            said += f" {name} is one emission with {joined(others)}: they move together."
    return said


def pairs(plan: Plan, facts: Facts, *, others: bool, each: bool = False) -> Iterator[tuple[str, str]]:
    """Yield pairs with carriers that are ever on together, in order of id.

    Args:
        plan: the plan.
        facts: its facts.
        others: pair each link with each carrier of somebody else (the link first), instead of link with link.
        each: take every link by itself, where one else stands for all of its wide emission.
    """
    together: set[tuple[str, str]] = set()
    for ids in facts.present if each else facts.together:
        links = sorted(name for name in ids if name in plan.links and name in facts.carriers)
        if others:
            theirs = [name for name in ids if name in plan.others and name in facts.carriers]
            together.update((ours, their) for ours in links for their in theirs)
        else:
            together.update(combinations(links, 2))
    yield from sorted(together)
