"""Placing a few links among others that stay: exhaustive search, exact masks kept up to date link by link."""

from __future__ import annotations

import random
import time
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from planlint.assign.clash import Air, Carriers

Outcome = Literal["found", "none", "unknown"]
#: Nodes of one search before it gives up with "unknown"; the same on every machine.
NODES = 4_000
_TRIES = 4
#: Nodes of one search for a larger margin, and of all of them in one repair; a look at all candidates counts as some.
_MARGIN_NODES = 1_500
MARGIN_TOTAL = 24_000
_LOOK = 10


class Clock:
    """How long a search may go on; `out` once the time is over. Without seconds it never is."""

    def __init__(self, seconds: float | None = None) -> None:
        self._end = None if seconds is None else time.monotonic() + seconds
        self.limited = seconds is not None
        self.ran_out = False

    def out(self) -> bool:
        """Say whether the time is over."""
        if self._end is not None and time.monotonic() >= self._end:
            self.ran_out = True
        return self.ran_out


class Placed(NamedTuple):
    """A placing: `none` is a proof that there is none; `unknown` that the search gave up."""

    outcome: Outcome
    carriers: dict[str, int]


class _GaveUpError(Exception):
    pass


class Searcher:
    """Searches placings of links; the same seed gives the same answers while the time lasts."""

    def __init__(self, air: Air, clock: Clock, seed: int = 0, nodes: int = NODES) -> None:
        self.air = air
        self.clock = clock
        self.nodes = nodes
        self._seed = seed
        self._left = 0
        self.spent = 0
        self._alike: dict[str, int] = {}
        self._forbidden: frozenset[frozenset[tuple[str, int]]] = frozenset()

    def forbid(self, together: Mapping[str, int]) -> None:
        """Never again place these links on these carriers together."""
        self._forbidden |= {frozenset(together.items())}

    def place(
        self, free: Sequence[str], domains: Mapping[str, Carriers], fixed: Mapping[str, int], slack_hz: int = 0,
        *, nodes: int | None = None, tries: int = _TRIES,
    ) -> Placed:  # fmt: skip
        """Find carriers for some links among others that are fixed.

        Args:
            free: the links to place.
            domains: what each of them may take, in Hz, sorted.
            fixed: carriers in Hz of everybody else who has one.
            slack_hz: how far past every limit whatever a placed link takes part in must keep.
            nodes: carriers to try before giving up, in place of the usual number.
            tries: orders to try them in.
        """
        here = {}
        for name in free:
            self.spent += _LOOK
            blocked = self.air.blocked(name, domains[name], fixed, slack_hz=slack_hz)
            here[name] = domains[name][~blocked]
            if not len(here[name]):
                return Placed("none", {})
        self._alike = {} if self._forbidden else self._groups(free, domains)
        if not self._room(here, slack_hz):
            return Placed("none", {})
        for attempt in range(tries):
            self._left = self.nodes if nodes is None else nodes
            order = random.Random(f"{self._seed}/{attempt}") if attempt else None  # noqa: S311  no secret
            try:
                found = self._go(here, dict(fixed), {}, slack_hz, order)
            except _GaveUpError:
                if self.clock.out():
                    break
                continue
            return Placed("none", {}) if found is None else Placed("found", found)
        return Placed("unknown", {})

    def _go(
        self,
        domains: Mapping[str, Carriers],
        placed: dict[str, int],
        mine: dict[str, int],
        slack_hz: int,
        order: random.Random | None,
    ) -> dict[str, int] | None:
        if not domains:
            return dict(mine)
        name = min(domains, key=lambda free: (len(domains[free]), free))
        values = [int(value) for value in domains[name]]
        if order is not None:
            order.shuffle(values)
        rest = [free for free in domains if free != name]
        for value in values:
            self._left -= 1
            self.spent += 1
            if self._left < 0 or (self._left % 64 == 0 and self.clock.out()):
                raise _GaveUpError
            placed[name] = mine[name] = value
            if not self._is_forbidden(mine):
                smaller = self._narrow(domains, rest, placed, name, slack_hz)
                found = self._go(smaller, placed, mine, slack_hz, order) if smaller is not None else None
                if found is not None:
                    return found
            del placed[name], mine[name]
        return None

    def _is_forbidden(self, mine: Mapping[str, int]) -> bool:
        return any(pairs <= mine.items() for pairs in self._forbidden)

    def _narrow(
        self, domains: Mapping[str, Carriers], rest: Sequence[str], placed: dict[str, int], new: str, slack_hz: int
    ) -> dict[str, Carriers] | None:
        left = {}
        value, group = placed[new], self._alike.get(new)
        for name in rest:
            domain = domains[name]
            if group is not None and self._alike.get(name) == group:  # links alike: one order of them is enough
                domain = domain[domain > value] if name > new else domain[domain < value]
            blocked = self.air.blocked(name, domain, placed, slack_hz=slack_hz, new=new)
            left[name] = domain[~blocked]
            if not len(left[name]):
                return None
        return left if self._room(left, slack_hz) else None

    def _groups(self, free: Sequence[str], domains: Mapping[str, Carriers]) -> dict[str, int]:
        """Return for each link the number of its group: links alike may swap carriers without any difference."""
        seen: dict[object, int] = {}
        links, widths = self.air.plan.links, self.air.widths
        on = [name for name in free if any(name in ids for ids in self.air.sets)]
        return {
            name: seen.setdefault(
                (links[name].kind, widths[name], domains[name].tobytes(), *(name in ids for ids in self.air.sets)),
                len(seen),
            )
            for name in on
        }

    def _room(self, domains: Mapping[str, Carriers], slack_hz: int) -> bool:
        """Say whether each group of links alike has room by spacing alone, counted from the lowest carrier up."""
        groups: dict[int, list[str]] = {}
        for name in domains:
            if name in self._alike:
                groups.setdefault(self._alike[name], []).append(name)
        for names in groups.values():
            if len(names) < 2:
                continue
            apart = self.air.apart(names[0], names[1]) + slack_hz
            free = sorted({int(value) for name in names for value in domains[name]})
            count, last = 0, -apart
            for value in free:
                if value - last >= apart:
                    count, last = count + 1, value
                    if count >= len(names):
                        break
            if count < len(names):
                return False
        return True

    def margin(self, mine: Mapping[str, int], fixed: Mapping[str, int]) -> int:
        """Return how far in Hz the nearest thing that a placed link takes part in is past its limit."""
        everyone = {**fixed, **mine}
        return min((self.air.margin(name, everyone) for name in mine), default=10**12)

    def widest(
        self,
        free: Sequence[str],
        domains: Mapping[str, Carriers],
        fixed: Mapping[str, int],
        start: Placed,
        limit: int,
    ) -> tuple[dict[str, int], int, bool]:
        """Return the placing with the largest worst margin, that margin in Hz, and whether it is proven.

        Args:
            free: the links to place.
            domains: what each may take.
            fixed: everybody else.
            start: a placing to begin with.
            limit: what `spent` may come to.
        """
        best, low = start.carriers, self.margin(start.carriers, fixed)
        tries = 2 if len(free) > 1 else 1
        high: int | None = None
        proven = True
        while high is None or high - low > 1:
            if self.clock.out() or self.spent > limit:
                return best, low, False
            aim = low + max(1, (high - low) // 2) if high is not None else max(2 * low, low + 10_000)
            found = self.place(free, domains, fixed, aim, nodes=_MARGIN_NODES, tries=tries)
            if found.outcome == "found":
                best, low = found.carriers, self.margin(found.carriers, fixed)
                if high is None and low >= 10**11:
                    return best, low, True
            else:
                proven = proven and found.outcome == "none"
                high = aim
        return best, low, proven
