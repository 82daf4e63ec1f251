"""What a plan implies, computed once and on demand; rules, proposals and sheets read the same facts."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from planlint.facts import air, emission, relations, spectrum
from planlint.facts.interference import Interference
from planlint.facts.margin import Margin, NoMargin, margins
from planlint.facts.scan import OpenScan
from planlint.facts.scans import Scans
from planlint.facts.wide_emissions import leaders
from planlint.plan.model import Link, Other, Plan

Siblings = Callable[[], tuple[Plan, ...] | None]


class Facts:
    """Facts of one plan."""

    def __init__(self, plan: Plan, siblings: Siblings = lambda: None, open_scan: OpenScan | None = None) -> None:
        """Keep the plan; nothing is computed yet.

        Args:
            plan: the plan.
            siblings: returns the other venues of the same tour under the root, by file, or None where they
                cannot be read.
            open_scan: opens the file that a plan names as a scan; without it no scan is read.
        """
        self.plan = plan
        self._siblings = siblings
        self.scans = Scans(self, open_scan)

    @cached_property
    def siblings(self) -> tuple[Plan, ...] | None:
        """The other venues of the same tour, by file; None where they are not known."""
        return self._siblings()

    @cached_property
    def intervals(self) -> tuple[air.Interval, ...]:
        """The day's intervals and who is on the air in each."""
        return air.intervals(self.plan)

    @cached_property
    def together(self) -> tuple[frozenset[str], ...]:
        """The different largest sets of emissions on the air together: one link stands for all of a wide emission."""
        return air.together(self.plan)

    @cached_property
    def present(self) -> tuple[frozenset[str], ...]:
        """The different largest sets of ids on the air together."""
        return air.present(self.plan)

    @cached_property
    def leaders(self) -> dict[str, str]:
        """For each link of a wide emission the one that stands for it."""
        return leaders(self.plan)

    @cached_property
    def carriers(self) -> dict[str, int]:
        """Carriers in Hz of every link used tonight and of all others, by id."""
        found = {name: link.carrier_hz for name, link in self.plan.links.items() if link.used}
        found |= {name: other.carrier_hz for name, other in self.plan.others.items()}
        return {name: carrier for name, carrier in found.items() if carrier is not None}

    @cached_property
    def widths(self) -> dict[str, int]:
        """Emission widths in Hz of every link and of all others, by id."""
        return {name: emission.width(self.plan, item).hz for name, item in self.items.items()}

    @cached_property
    def assumed_widths(self) -> tuple[str, ...]:
        """Ids with a carrier whose emission width is not written."""
        return tuple(name for name in sorted(self.carriers) if emission.width(self.plan, self.items[name]).assumed)

    @cached_property
    def items(self) -> dict[str, Link | Other]:
        """Links and others in one namespace."""
        return {**self.plan.links, **self.plan.others}

    @cached_property
    def found_relations(self) -> relations.Found:
        """The intermodulation relations that a link of ours takes part in; of very many, the nearest and exact totals."""
        return relations.survey(self.plan, self.carriers, self.widths, self.together, frozenset(self.plan.links))

    @property
    def relations(self) -> tuple[relations.Named, ...]:
        """The listed relations."""
        return self.found_relations.listed

    @cached_property
    def bands(self) -> tuple[spectrum.Band, ...]:
        """The region's allowed bands; none where the region is not known."""
        return spectrum.bands(self.plan.region) if self.plan.region else ()

    @cached_property
    def live_channels(self) -> tuple[spectrum.Channel, ...] | None:
        """The town's live TV channels, or None where they are not known."""
        return spectrum.live_channels(self.plan)

    @cached_property
    def margins(self) -> tuple[Margin | NoMargin, ...]:
        """The link margin of every main pack and microphone receiver, or what it lacks."""
        return margins(self.plan, self)

    @cached_property
    def interference(self) -> Interference:
        """Carrier-to-interference estimates of the relations."""
        return Interference(self.plan, self)

    def edges(self, name: str) -> tuple[int, int]:
        """Return the edges in Hz of the emission of a link or other that has a carrier."""
        carrier, width = self.carriers[name], self.widths[name]
        return carrier - width // 2, carrier + (width + 1) // 2

    def meet(self, first: str, second: str) -> bool:
        """Say whether two ids are ever on the air together."""
        return any(first in ids and second in ids for ids in self.present)

    def leads(self, name: str) -> bool:
        """Say whether an id stands for an emission of its own, or for those that share it."""
        return self.leaders.get(name, name) == name

    def carrier_at(self, name: str) -> str:
        """Return the pointer to the carrier of a link or other."""
        return self.items[name].carrier_at
