"""Random plans in a random new venue, as plain numbers: what a repair is tried on. All values in kHz."""

from __future__ import annotations

import random
from itertools import combinations

from planlint.assign.raster.problem import Repair, Slot, channel_steps
from planlint.rf.intermodulation import Limits
from tests.assign.raster.by_definition import Links

STEP = 25
GUARDS = (
    (100, 50, 50, 0),  # what the format takes for emissions of 200 kHz
    (100, 50, 0, 0),
    (75, 75, 0, 0),
    (90, 45, 45, 0),  # the same for 180 kHz: not a multiple of the step
)


def venue(seed: int, count: int | None = None) -> Repair:
    """A plan of 10 to 20 links, made for an empty band, that now meets live TV channels and others on the air."""
    rng = random.Random(seed)
    count = count or rng.randint(10, 20)
    low, high = 478_000, 478_000 + 6_000 * rng.choice([10, 12, 14])
    guards = rng.choice(GUARDS)
    links = _clear_set(rng, low, high, guards, count)
    live = [
        low + 6_000 * at
        for at in sorted(rng.sample(range((high - low) // 6_000), rng.randint(1, (high - low) // 18_000)))
    ]
    choices = channel_steps(low, high, STEP, [(edge, edge + 6_000) for edge in live], 200)
    slots = []
    for carrier in links:
        mine = choices if rng.random() < 0.7 else tuple(one for one in choices if one <= high - 12_000)
        slots.append(_slot(rng, carrier, mine, Limits(*guards)))
    for _ in range(rng.choice([0, 1, 2])):
        other = rng.randrange(low, high, 5)
        slots.append(Slot(other, (), kind=1, guards=Limits(*rng.choice(GUARDS)), ours=False))
    together = None
    if rng.random() < 0.3:  # two acts: some links are on in the first half only, some in the second only
        everyone = range(len(slots))
        first = frozenset(at for at in everyone if at % 4 != 0)
        together = (first, frozenset(at for at in everyone if at % 4 != 1))
    return Repair(tuple(slots), ((400, 200), (200, 200)), together)


def big(seed: int, acts: int, each: int, band: tuple[int, int] = (470_000, 608_000), live: int = 5) -> Repair:
    """Acts one after another, each made for an empty band, in a venue with live TV channels; two others on the air."""
    rng = random.Random(f"{seed}/{acts}/{each}")
    low, high = band
    guards = GUARDS[0]
    closed = [low + 6_000 * at for at in sorted(rng.sample(range((high - low) // 6_000), live))]
    choices = channel_steps(low, high, STEP, [(edge, edge + 6_000) for edge in closed], 100)
    slots: list[Slot] = []
    together: list[frozenset[int]] = []
    for _ in range(acts):
        mine = _clear_set(rng, low, high, guards, each)
        together.append(frozenset(range(len(slots), len(slots) + len(mine))))
        slots += [_slot(rng, carrier, choices, Limits(*guards)) for carrier in mine]
    others = frozenset(range(len(slots), len(slots) + 2))
    slots += [Slot(rng.randrange(low, high, 5), (), kind=1, guards=Limits(*guards), ours=False) for _ in others]
    return Repair(tuple(slots), ((400, 200), (200, 200)), tuple(on | others for on in together))


def _slot(rng: random.Random, carrier: int, choices: tuple[int, ...], guards: Limits) -> Slot:
    draw = rng.random()
    if draw < 0.08:
        return Slot(carrier, choices, touch=3, guards=guards, pinned=True)
    if draw < 0.14:
        return Slot(None, choices, touch=2, guards=guards)
    return Slot(carrier, choices, touch=rng.choice([2, 2, 3, 4]), guards=guards)


def _clear_set(rng: random.Random, low: int, high: int, guards: tuple[int, ...], count: int) -> list[int]:
    """Carriers clear of two-signal relations only: a plan from a kinder house, with three-signal ones left in."""
    found: list[int] = []
    for _ in range(20_000):
        one = rng.randrange(low, high + 1, STEP)
        if any(abs(one - other) < 400 for other in found):
            continue
        if any(
            min(abs(2 * one - a - b), abs(2 * a - one - b), abs(2 * b - one - a)) < guards[0]
            for a, b in combinations(found, 2)
        ):
            continue
        if rng.random() < 0.75 and _sums_meet(found, one, guards[1]):
            continue
        found.append(one)
        if len(found) == count:
            break
    return found


def _sums_meet(found: list[int], one: int, guard: int) -> bool:
    return any(abs(one + a - b - c) < guard for b, c in combinations(found, 2) for a in found if a not in (b, c))


def as_links(problem: Repair) -> Links:
    """The same in the oracle's terms."""
    slots = problem.slots
    return Links(
        [slot.carrier for slot in slots],
        [slot.choices for slot in slots],
        [slot.touch for slot in slots],
        [tuple(slot.guards) for slot in slots],
        [[problem.spacing[a.kind][b.kind] for b in slots] for a in slots],
        [slot.pinned or not slot.ours for slot in slots],
        [slot.ours for slot in slots],
        problem.sets,
    )
