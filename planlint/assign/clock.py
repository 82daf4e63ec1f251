"""How long a search may go on."""

from __future__ import annotations

import time


class Clock:
    """Says when the time is over; without seconds it never is.

    Attributes:
        limited: whether there is a limit.
        ran_out: whether the time was over when somebody asked.
    """

    def __init__(self, seconds: float | None = None) -> None:
        """Start now."""
        self._end = None if seconds is None else time.monotonic() + seconds
        self.limited = seconds is not None
        self.ran_out = False

    def out(self) -> bool:
        """Say whether the time is over."""
        if self._end is not None and time.monotonic() >= self._end:
            self.ran_out = True
        return self.ran_out

    def part(self, seconds: float) -> Clock:
        """Return a clock for some of the time that is left."""
        left = self.left()
        return Clock(seconds if left is None else min(seconds, left))

    def left(self) -> float | None:
        """Return the seconds that are left; None: no limit."""
        return None if self._end is None else max(0.0, self._end - time.monotonic())
