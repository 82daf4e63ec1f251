"""A plan's links laid out as the slots of a repair: the same limits, as plain numbers in Hz."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.raster.clashes import Clash as SlotClash
from planlint.assign.raster.problem import Repair, Slot
from planlint.facts.leaky_combiners import SPACINGS, leaky_boxes
from planlint.rf.intermodulation import Limits

if TYPE_CHECKING:
    from planlint.assign.clash import Clash
    from planlint.assign.state import State

_INTERMOD = "intermod-"
#: What tells links apart that limits tell apart: kind ("" for somebody else's), emission in Hz, combiner or "".
Sort = tuple[str, int, str]
#: A link, or somebody else on the air, and its carrier in Hz: not taken together.
Forbidden = Iterable[Mapping[str, int]]


class Laid(NamedTuple):
    """A repair, who its slots are, and what clashes as the plan stands, as slots and in words."""

    problem: Repair
    names: tuple[str, ...]
    clashes: tuple[SlotClash, ...]
    words: Mapping[SlotClash, Clash]


def laid(state: State, forbidden: Forbidden = ()) -> Laid:
    """Return a plan as a repair; links that may move and have nowhere to go stay."""
    names = (*state.used, *(name for name in sorted(state.plan.others) if name in state.facts.carriers))
    names = tuple(name for name in names if name in state.movable or name in state.facts.carriers)
    index = {name: at for at, name in enumerate(names)}
    within = leaky_boxes(state.facts)
    sorts = {name: _sort(state, name, within) for name in names}
    kinds = sorted(set(sorts.values()))
    first = {sort: next(name for name in names if sorts[name] == sort) for sort in kinds}
    spacing = tuple(
        tuple(0 if one[0] == two[0] == "" else _apart(state, one, two, sorts, first) for two in kinds) for one in kinds
    )
    slots = tuple(_slot(state, name, kinds.index(sorts[name])) for name in names)
    sets = {frozenset(index[name] for name in ids if name in index) for ids in state.facts.together}
    largest = sorted((one for one in sets if not any(one < other for other in sets)), key=sorted)
    accepted = {name for clash in state.accepted for name in clash.ids} & index.keys()
    accepted |= set(_near_in_a_box(state, names, sorts))
    words = {_as_slots(clash, index): clash for clash in reversed(state.clashes)}
    problem = Repair(
        slots,
        spacing,
        tuple(largest),
        frozenset(index[name] for name in accepted),
        tuple(frozenset((index[name], carrier) for name, carrier in together.items()) for together in forbidden),
    )
    clashes = tuple(dict.fromkeys(_as_slots(clash, index) for clash in state.clashes))
    return Laid(problem, names, clashes, words)


def _sort(state: State, name: str, within: Mapping[str, str]) -> Sort:
    link = state.plan.links.get(name)
    wide = "wide " if link is not None and link.wide_emission else ""  # like nothing else: its spacing is another
    kind = f"{wide}{link.kind or '?'}" if link is not None else ""
    return kind, state.facts.widths[name], within.get(name, "")


def _apart(state: State, one: Sort, two: Sort, sorts: Mapping[str, Sort], first: Mapping[Sort, str]) -> int:
    """Return how far apart two links of these sorts must be; it depends on nothing but their sorts."""
    other = next((name for name in sorts if sorts[name] == two and name != first[one]), None)
    if other is None:
        return 0
    apart = state.air.apart(first[one], other)
    return max(apart, SPACINGS * state.air.near(first[one], other)) if one[2] and one[2] == two[2] else apart


def _near_in_a_box(state: State, names: Collection[str], sorts: Mapping[str, Sort]) -> Iterator[str]:
    """Yield links nearer in a combiner than proposals keep: that alone is no reason to move them."""
    carriers = state.facts.carriers
    for first, second in combinations([name for name in names if sorts[name][2] and name in carriers], 2):
        if sorts[first][2] == sorts[second][2]:
            gap = abs(carriers[first] - carriers[second])
            if state.air.apart(first, second) <= gap < SPACINGS * state.air.near(first, second):
                yield from (first, second)


def _slot(state: State, name: str, kind: int) -> Slot:
    width = state.facts.widths[name]
    guards = Limits(*(state.air.limit(sort, width) for sort in Limits._fields))
    carrier = state.facts.carriers.get(name)
    if name not in state.plan.links:
        return Slot(carrier, (), kind=kind, guards=guards, ours=False)
    if name not in state.movable:
        return Slot(carrier, (), kind=kind, guards=guards, pinned=True)
    choices = tuple(int(choice) for choice in state.domain(name))
    return Slot(carrier, choices, state.weights[name], kind, guards)


def _as_slots(clash: Clash, index: Mapping[str, int]) -> SlotClash:
    kind = clash.rule.removeprefix(_INTERMOD).replace("-", "_") if clash.rule.startswith(_INTERMOD) else "spacing"
    return SlotClash(tuple(sorted(index[name] for name in clash.ids)), kind, clash.offset_hz, clash.limit_hz)
