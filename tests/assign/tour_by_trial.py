"""Tours by trial of everything, from the definition, importing nothing from the engine.

A night's set is fine when every link stands on a carrier that the night allows, like kinds keep their spacing, and no
relation of the contract's table (2A = B + C, A + B = C + D, 3A = 2B + C) comes nearer than its limit, the night's
others included. Every assignment of every night is listed; a tour is a path through them.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, permutations, product
from typing import NamedTuple


class Date(NamedTuple):
    """One night, in kHz: what each of its links may take, and others on the air."""

    choices: dict[str, tuple[int, ...]]
    others: tuple[int, ...]


def fine(ours: Sequence[int], others: Sequence[int], spacing: int, limits: tuple[int, int, int]) -> bool:
    if any(abs(a - b) < spacing for a, b in combinations(ours, 2)):
        return False
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


def sets_of(date: Date, spacing: int, limits: tuple[int, int, int]) -> list[dict[str, int]]:
    """Every set that is fine on a night."""
    links = sorted(date.choices)
    return [
        dict(zip(links, carriers, strict=True))
        for carriers in product(*(date.choices[link] for link in links))
        if fine(carriers, date.others, spacing, limits)
    ]


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

    def clear(more: Sequence[int]) -> bool:
        everyone = [*more, *live]
        for a, b in combinations(range(len(everyone)), 2):
            if min(a, b) < len(more) and abs(everyone[a] - everyone[b]) < spacing:
                return False
        return fine_with(more, live, limits)

    level: list[tuple[int, ...]] = [()]
    size = 0
    while True:
        level = [(*one, khz) for one in level for khz in choices if (not one or khz > one[-1]) and clear((*one, khz))]
        if not level:
            return size
        size += 1


def fine_with(more: Sequence[int], live: Sequence[int], limits: tuple[int, int, int]) -> bool:
    """No relation that one of `more` takes part in is nearer than its limit."""
    return fine(more, live, 0, limits)
