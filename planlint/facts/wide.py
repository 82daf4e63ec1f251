"""Third-order products whose centre misses a carrier and whose width does not.

A product of two signals, 2A - B on C, is as wide as its signals weighed by their coefficients, 2 A's width + B's (an FM
deviation is multiplied by the coefficient). It reaches into C's emission where |2A - B - C| < (2 w(A) + w(B) + w(C)) / 2,
and by the same sum into B's (2A - C on B) and A's (B + C - A on A).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from planlint.facts.limits import hertz

if TYPE_CHECKING:
    from planlint.facts import Facts

KIND = "two_signal_third"


class Wide(NamedTuple):
    """One relation 2A = B + C that misses by its centre and not by its width.

    Attributes:
        middle: A.
        outer: B and C, by id.
        offset_hz: |2A - B - C|.
        reach_hz: half the product's width and half its victim's: what the offset would have to reach.
        width_hz: the product's width on C, 2 w(A) + w(B); on B it is 2 w(A) + w(C).
    """

    middle: str
    outer: tuple[str, str]
    offset_hz: int
    reach_hz: float
    width_hz: int

    @property
    def ids(self) -> tuple[str, ...]:
        """All three ids, sorted."""
        return tuple(sorted((self.middle, *self.outer)))

    @property
    def text(self) -> str:
        """The relation as an equation with plus signs only."""
        return f"2*{self.middle} = {self.outer[0]} + {self.outer[1]}"


class _Members(NamedTuple):
    """Ids on the air together in order of carrier, with their carriers and widths in Hz."""

    names: list[str]
    carriers: list[int]
    widths: list[int]


def nearest(facts: Facts) -> tuple[Wide, ...]:
    """Return for each of our links the nearest such relation that it is part of, each relation once, nearest first.

    Relations within the house's limit are found elsewhere and left out.
    """
    best: dict[str, Wide] = {}
    limits: dict[int, int] = {}
    for ids in facts.together:
        found = sorted((facts.carriers[name], name) for name in ids if name in facts.carriers)
        names = [name for _, name in found]
        members = _Members(names, [carrier for carrier, _ in found], [facts.widths[name] for name in names])
        for wide in _all(facts, members, limits, best):
            for name in wide.ids:
                if _nearer(wide, best.get(name)):
                    best[name] = wide
    ours = {best[name] for name in best if name in facts.plan.links}
    return tuple(sorted(ours, key=lambda wide: (wide.offset_hz, wide.ids, wide.middle)))


def _all(facts: Facts, members: _Members, limits: dict[int, int], best: dict[str, Wide]) -> Iterator[Wide]:
    """Yield relations in question, without most of those that are farther than what is known of all three ids."""
    names, carriers, widths = members
    farthest, count = 2 * max(widths, default=0), len(names)
    known = [best[name].offset_hz if name in best else farthest for name in names]
    least = min((_limit_hz(facts, width, limits) for width in set(widths)), default=0)
    for middle in range(count):
        double = 2 * carriers[middle]
        for low in range(count):
            centre = double - carriers[low]
            if centre + farthest <= carriers[low]:
                break
            if low == middle:
                continue
            for high in range(max(low + 1, bisect_right(carriers, centre - farthest)), count):
                offset = carriers[high] - centre
                if offset >= farthest:
                    break
                offset = abs(offset)
                if (
                    offset < least
                    or high == middle
                    or (offset > known[high] and offset > known[low] and offset > known[middle])
                ):
                    continue
                sizes = (widths[middle], widths[low], widths[high])
                wide = _judge(facts, (names[middle], names[low], names[high]), sizes, offset, limits)
                if wide is not None:
                    for index in (middle, low, high):
                        known[index] = min(known[index], offset)
                    yield wide


def _judge(
    facts: Facts, three: tuple[str, str, str], sizes: tuple[int, int, int], offset: int, limits: dict[int, int]
) -> Wide | None:
    """Return the relation of a middle and two outer ids, or None where it is within the limit or out of reach."""
    middle, low, high = three
    reach = (2 * sizes[0] + sizes[1] + sizes[2]) / 2
    if not _limit_hz(facts, max(sizes), limits) <= offset < reach:
        return None
    (first, width), (second, _) = sorted(((low, sizes[1]), (high, sizes[2])))
    return Wide(middle, (first, second), offset, reach, 2 * sizes[0] + width)


def _limit_hz(facts: Facts, widest: int, limits: dict[int, int]) -> int:
    """Return the house's limit in Hz for a widest emission, looked up once."""
    if widest not in limits:
        limits[widest] = hertz(facts.plan, f"intermod_khz.{KIND}", widest).hz
    return limits[widest]


def _nearer(found: Wide, than: Wide | None) -> bool:
    return than is None or (found.offset_hz, found.ids, found.middle) < (than.offset_hz, than.ids, than.middle)
