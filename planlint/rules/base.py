"""What a rule file declares: `RULE`, a `check` generator, and `Options` if it has any."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from planlint.finding import Severity

#: Order of findings: law and hearing first, then a broken file, dead links, margins, tidiness.
Group = Literal["law", "hearing", "file", "link", "margin", "tidy"]
GROUPS: tuple[Group, ...] = ("law", "hearing", "file", "link", "margin", "tidy")

#: Which direction of an accepted value is worse.
Worse = Literal["lower", "higher"]


class Rule(NamedTuple):
    """What the engine needs to know of a rule; its id is its file's name.

    Attributes:
        severity: of its faults, unless a fault says otherwise.
        group: where its findings stand in the output.
        source: a published source, or "common practice, no source", or what it is derived from.
        waivable: False where no waiver silences it; the configuration cannot switch it off either.
        law: the configuration cannot switch it off or change its severity.
        accept: names in `values` that a waiver may bound, and which direction is worse.
        on: `file` rules judge one file's text and shape, `plan` rules a resolved plan,
            `waivers` rules what became of the waivers.
        switch: dotted path below `policy` of a limit that turns the rule off where it is 0.
        starts_off: not run unless the configuration switches it on.
    """

    severity: Severity
    group: Group
    source: str
    waivable: bool = True
    law: bool = False
    accept: Mapping[str, Worse] = {}
    on: Literal["file", "plan", "waivers"] = "plan"
    switch: str | None = None
    starts_off: bool = False

    @property
    def fixed(self) -> bool:
        """Whether the configuration has no say about it."""
        return self.law or not self.waivable


class Between(NamedTuple):
    """The least and the greatest value of an option that is a number: `Annotated[int, Between(1, 30)]`."""

    low: float
    high: float


class NoOptions(NamedTuple):
    """The options of a rule that has none."""
