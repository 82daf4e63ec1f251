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
        if self._end is None:
            return Clock(seconds)
        return Clock(max(0.0, min(seconds, self._end - time.monotonic())))
