"""Quick fills: spares placed one after another, from the lowest free carrier up and in random orders; no proof."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planlint.assign.clash import Air, Carriers


def free_carriers(air: Air, name: str, carriers_hz: Sequence[int], slack_hz: int, live: dict[str, int]) -> list[int]:
    """Return the carriers at which a spare is clear of everybody live, every limit larger by a slack."""
    import numpy as np

    line = np.array(carriers_hz, dtype=np.int64)
    found: list[int] = line[~air.blocked(name, line, live, slack_hz=slack_hz)].tolist()
    return found


class Fills:
    """Fills with spares of one kind; the same seed gives the same fills."""

    def __init__(self, air: Air, names: Sequence[str], live: dict[str, int], seed: int) -> None:
        """Keep the air, the names of its spares, and the live carriers in Hz."""
        self.names = tuple(names)
        self._air, self._live, self._seed = air, live, seed

    def longest(
        self, free_hz: Sequence[int], number: int, slack_hz: int, orders: int, out: Callable[[], bool]
    ) -> tuple[int, ...]:
        """Return the longest of several fills, in rising order.

        Args:
            free_hz: carriers clear of everybody live.
            number: how many are enough; there are names for at least that many.
            slack_hz: added to every limit.
            orders: how many fills.
            out: says that the time is over; then the rest is not tried.
        """
        import numpy as np

        best: list[int] = []
        line = np.array(free_hz, dtype=np.int64)
        for order in range(orders):
            rng = random.Random(f"{self._seed}/{order}") if order else None  # noqa: S311  no secret
            found = self._one(line, number, slack_hz, rng)
            if len(found) > len(best):
                best = found
            if len(best) == number or out():
                break
        return tuple(sorted(best))

    def _one(self, free: Carriers, number: int, slack_hz: int, rng: random.Random | None) -> list[int]:
        placed = dict(self._live)
        chosen: list[int] = []
        while len(free) and len(chosen) < number:
            at = rng.randrange(len(free)) if rng else 0
            name, carrier = self.names[len(chosen)], int(free[at])
            placed[name] = carrier
            chosen.append(carrier)
            if len(chosen) < number:
                free = free[free != carrier]
                blocked = self._air.blocked(self.names[len(chosen)], free, placed, slack_hz=slack_hz, new=name)
                free = free[~blocked]
        return chosen
