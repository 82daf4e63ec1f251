"""Tonight's carriers at every venue of the tour: which stand, which rule closes the others; and what survives them all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import lcm
from typing import NamedTuple

from planlint.assign.allowed import RASTER_HZ
from planlint.assign.clash import Clash
from planlint.assign.packing import air_with_spares
from planlint.assign.tour_nights import Night
from planlint.facts.ends import ends
from planlint.plan.model import Kind

#: A link that is fixed to another carrier there.
PINNED = "pinned"


class Cell(NamedTuple):
    """A carrier at a venue: whether it is used there, and the rules that close it; none: it stands."""

    used: bool
    rules: tuple[str, ...] = ()

    @property
    def stands(self) -> bool:
        """Whether it is used and stands."""
        return self.used and not self.rules


class Row(NamedTuple):
    """One carrier in Hz of tonight's plan, a link's or (`link` None) a spare's, and what becomes of it venue by venue."""

    link: str | None
    kind: Kind | None
    carrier_hz: int
    cells: tuple[Cell, ...]


class Survivors(NamedTuple):
    """Carriers in Hz that links of a kind may take at every venue that uses them; `step_hz` is their raster's."""

    kind: Kind | None
    links: tuple[str, ...]
    carriers_hz: tuple[int, ...]
    step_hz: int

    @property
    def ranges(self) -> Iterator[tuple[int, int, int]]:
        """(lowest, highest, how many) of each run of neighbours on the raster."""
        start = 0
        line = self.carriers_hz
        for at in range(1, len(line) + 1):
            if at == len(line) or line[at] - line[at - 1] > self.step_hz:
                yield line[start], line[at - 1], at - start
                start = at


def rows(tonight: Night, nights: Sequence[Night]) -> tuple[Row, ...]:
    """Return what becomes of tonight's live set, taken as a whole to each venue, and of each spare beside it."""
    ours = [name for link in tonight.leads for name in tonight.members(link)]
    own = {name: tonight.facts.carriers[name] for name in ours if name in tonight.facts.carriers}
    taken = [_Taken(night, own) for night in nights]
    links = tonight.plan.links
    found = [Row(name, links[name].kind, own[name], tuple(one.cell(name) for one in taken)) for name in sorted(own)]
    for spare in sorted(tonight.plan.spares, key=lambda spare: (spare.kind, spare.carrier_hz)):
        cells = tuple(one.spare(spare.kind, spare.carrier_hz) for one in taken)
        found.append(Row(None, spare.kind, spare.carrier_hz, cells))
    return tuple(found)


class _Taken:
    """Tonight's set at a venue: those that may stand there on their own, and how they get on with each other."""

    def __init__(self, night: Night, own: dict[str, int]) -> None:
        self.night = night
        self.own = own
        state = night.state
        self.lead = {name: lead for link, lead in night.leads.items() for name in night.members(link)}
        stay = {name: hz for name, hz in night.staying.items() if name in night.plan.links}
        free = {self.lead[name]: hz for name, hz in own.items() if name in self.lead and self.lead[name] not in stay}
        self.on = stay | {lead: hz for lead, hz in free.items() if hz in state.domain(lead)}
        self.clashes = [clash for clash in night.clashes(self.on) if not self._as_written(clash)]

    def _as_written(self, clash: Clash) -> bool:
        """Say whether a waiver of the venue accepts a clash just as the venue's plan has it."""
        written = self.night.facts.carriers
        same = all(written.get(name) == self.on.get(name, written.get(name)) for name in clash.ids)
        return same and clash not in self.night.state.clashes

    def cell(self, link: str) -> Cell:
        lead = self.lead.get(link)
        if lead is None:
            return Cell(used=False)
        if lead in self.night.state.pinned:
            return Cell(used=True, rules=() if self.night.staying[lead] == self.own[link] else (PINNED,))
        if self.on.get(lead) != self.own[link]:
            reasons = [
                reason
                for member in self.night.state.members(lead)
                for reason in self.night.state.grounds.against(member, self.own[link])
            ]
            return Cell(
                used=True, rules=tuple(dict.fromkeys(one.rule for one in reasons)) or ("carrier-out-of-tuning",)
            )
        return Cell(used=True, rules=tuple(dict.fromkeys(clash.rule for clash in self.clashes if lead in clash.ids)))

    def spare(self, kind: Kind, carrier_hz: int) -> Cell:
        night, state = self.night, self.night.state
        links = [name for name in state.used if night.plan.links[name].kind == kind]
        if not links:
            return Cell(used=False)
        if not any(carrier_hz in state.grounds.allowed(night.plan.links[name]).carriers_hz for name in links):
            against = [state.grounds.against(night.plan.links[name], carrier_hz) for name in links]
            least = min(against, key=len)
            return Cell(used=True, rules=tuple(dict.fromkeys(one.rule for one in least)) or ("carrier-out-of-tuning",))
        air, (spare,) = air_with_spares(night.facts, kind, 1)
        others = {name: hz for name, hz in night.staying.items() if name in night.plan.others}
        found = air.clashes({**others, **self.on, spare: carrier_hz})
        return Cell(used=True, rules=tuple(dict.fromkeys(clash.rule for clash in found if spare in clash.ids)))


def survivors(nights: Sequence[Night]) -> tuple[Survivors, ...]:
    """Return what links may take at every venue, links with the same carriers together."""
    groups: dict[tuple[Kind | None, frozenset[int], int], list[str]] = {}
    for link in sorted({name for night in nights for name in night.leads}):
        there = [night for night in nights if link in night.leads]
        common = frozenset.intersection(*(night.choices(link) for night in there))
        key = (there[0].plan.links[link].kind, common, _step_hz(there[0], link))
        groups.setdefault(key, []).append(link)
    found = [
        Survivors(kind, tuple(links), tuple(sorted(common)), step) for (kind, common, step), links in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: (_ORDER.index(one.kind or "other"), -len(one.carriers_hz), one.links)))


_ORDER = ("ear", "mic", "comms", "other")


def _step_hz(night: Night, link: str) -> int:
    steps = [end.model.step_hz for end in ends(night.plan, night.plan.links[link]) if end.model and end.model.step_hz]
    return lcm(*steps) if steps else RASTER_HZ
