"""Tours by trial of everything, from the definition, importing nothing from the engine.

A night's set is fine when every link stands on a carrier that the night allows, any two keep their spacing, and no
relation of the contract's table (2A = B + C, A + B = C + D, 3A = 2B + C) comes nearer than its limit, the night's
others included. Every assignment of every night is listed; a tour is a path through them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations, permutations, product
from typing import NamedTuple

Spacing = Mapping[frozenset[str], int]
"""The least distance in kHz of two links, by their kinds."""


class Date(NamedTuple):
    """One night, in kHz: what each of its links may take, and others on the air."""

    choices: dict[str, tuple[int, ...]]
    others: tuple[int, ...]


def apart(set_of: Mapping[str, int], kinds: Mapping[str, str], spacing: Spacing) -> bool:
    """Whether any two links of a set keep the spacing of their kinds."""
    return all(
        abs(set_of[a] - set_of[b]) >= spacing[frozenset({kinds[a], kinds[b]})] for a, b in combinations(set_of, 2)
    )


def clear(ours: Sequence[int], others: Sequence[int], limits: tuple[int, int, int]) -> bool:
    """Whether no relation that one of ours takes part in is nearer than its limit."""
    everyone = [*ours, *others]
    own = range(len(ours))
    for a, b, c in permutations(range(len(everyone)), 3):
        if not {a, b, c} & set(own):
            continue
        if abs(2 * everyone[a] - everyone[b] - everyone[c]) < limits[0]:
            return False
        if abs(3 * everyone[a] - 2 * everyone[b] - everyone[c]) < limits[2]:
            return False
    return all(
        abs(everyone[a] + everyone[b] - everyone[c] - everyone[d]) >= limits[1]
        for a, b, c, d in permutations(range(len(everyone)), 4)
        if {a, b, c, d} & set(own)
    )


def sets_of(
    date: Date, kinds: Mapping[str, str], spacing: Spacing, limits: tuple[int, int, int]
) -> list[dict[str, int]]:
    """Every set that is fine on a night."""
    links = sorted(date.choices)
    every = (dict(zip(links, some, strict=True)) for some in product(*(date.choices[link] for link in links)))
    return [one for one in every if apart(one, kinds, spacing) and clear(list(one.values()), date.others, limits)]


def fewest_touches(dates: Sequence[list[dict[str, int]]], weights: dict[str, int], given: bool = False) -> int | None:
    """The least weight of all paths; a link that is not used keeps its carrier, so the state remembers it."""
    paths: dict[tuple[tuple[str, int], ...], int] = {(): 0}
    for number, sets in enumerate(dates):
        after: dict[tuple[tuple[str, int], ...], int] = {}
        for state, cost in paths.items():
            known = dict(state)
            for one in sets if number or not given else sets[:1]:
                more = sum(weights[link] for link, khz in one.items() if link in known and known[link] != khz)
                key = tuple(sorted({**known, **one}.items()))
                after[key] = min(after.get(key, cost + more), cost + more)
        paths = after
    return min(paths.values(), default=None)


def longest_run(dates: Sequence[list[dict[str, int]]]) -> int:
    """How many dates in a row one set is fine for: every window, every set of its first night, extended."""

    def lasts(first: int, last: int) -> bool:
        held: list[dict[str, int]] = [{}]
        for sets in dates[first : last + 1]:
            held = [
                {**one, **more}
                for one in held
                for more in sets
                if all(one.get(link, khz) == khz for link, khz in more.items())
            ]
            if not held:
                return False
        return True

    windows = combinations(range(len(dates) + 1), 2)
    return max((last - first for first, last in windows if lasts(first, last - 1)), default=0)


def most_more(choices: Sequence[int], live: Sequence[int], spacing: int, limits: tuple[int, int, int]) -> int:
    """How many more carriers of one kind fit beside live ones: every subset, larger ones from smaller ones."""

    def fits(more: Sequence[int]) -> bool:
        everyone = [*more, *live]
        near = (
            abs(everyone[a] - everyone[b]) < spacing
            for a, b in combinations(range(len(everyone)), 2)
            if min(a, b) < len(more)
        )
        return not any(near) and clear(more, live, limits)

    level: list[tuple[int, ...]] = [()]
    size = 0
    while True:
        level = [(*one, khz) for one in level for khz in choices if (not one or khz > one[-1]) and fits((*one, khz))]
        if not level:
            return size
        size += 1
