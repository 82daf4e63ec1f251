"""The dates of a tour: at each of them, who stays where they are and what every link may take.

Somebody else's carrier and a pinned link stay. A link may take what planlint/assign/allowed.py allows it there, and
its own written carrier where no rule makes it move, as far as that clashes with nobody who stays. Links that share one
wide emission are one here, named by the first of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from planlint.assign.clash import Clash
from planlint.assign.state import Accepted, State

if TYPE_CHECKING:
    from planlint.facts import Facts


class Night:
    """One venue of a tour."""

    def __init__(self, facts: Facts, accepted: Accepted = ()) -> None:
        """Keep the venue.

        Args:
            facts: its facts.
            accepted: what its waivers cover.
        """
        self.facts = facts
        self.plan = facts.plan
        self.state = State(facts, accepted)
        self.waived = bool(accepted)
        self._choices: dict[str, frozenset[int]] = {}

    @property
    def name(self) -> str:
        """What a crew calls it: the place, else the show's id, else the file."""
        written = self.plan.show.get("place") or self.plan.show.get("id")
        return str(written) if written is not None else self.plan.file

    @cached_property
    def leads(self) -> dict[str, str]:
        """For each link used here the id under which it is on the air; it is named alike at every venue of the tour."""
        first: dict[str, str] = {}
        for name in sorted(self.plan.links):
            shared = self.plan.links[name].wide_emission
            if shared is not None:
                first.setdefault(shared, name)
        names = {lead: self.plan.links[lead].wide_emission for lead in self.state.used}
        return dict(sorted((lead if shared is None else first[shared], lead) for lead, shared in names.items()))

    def members(self, link: str) -> tuple[str, ...]:
        """Return the ids of a link and of those that share its emission here."""
        return tuple(member.id for member in self.state.members(self.leads[link]))

    def weigh(self, link: str) -> int:
        """Return how many touches it takes to re-tune a link, and those that share its emission."""
        return self.state.weigh(self.leads[link])

    def written(self, link: str) -> int | None:
        """Return the carrier in Hz that the plan has for a link."""
        return self.facts.carriers.get(self.leads[link])

    @cached_property
    def staying(self) -> dict[str, int]:
        """Carriers in Hz of others and of pinned links, by id."""
        known = self.facts.carriers
        return {name: known[name] for name in sorted(known) if name in self.plan.others or name in self.state.pinned}

    def choices(self, link: str) -> frozenset[int]:
        """Return what a link may take beside those who stay; a pinned link its own carrier, whatever is said of it."""
        if link not in self._choices:
            lead = self.leads[link]
            if lead in self.state.pinned:
                self._choices[link] = frozenset({self.facts.carriers[lead]})
            else:
                line = self.state.domain(lead)
                self._choices[link] = frozenset(line[~self.state.air.blocked(lead, line, self.staying)].tolist())
        return self._choices[link]

    def clashes(self, carriers: Mapping[str, int]) -> list[Clash]:
        """Return what clashes when links stand on these carriers in Hz, by their ids on the air, beside those who stay."""
        others = {name: hz for name, hz in self.staying.items() if name in self.plan.others}
        found = self.state.air.clashes({**others, **carriers})
        stay = self.staying.keys()
        return [clash for clash in found if not stay >= set(clash.ids)]

    def wrong(self, carriers: Mapping[str, int]) -> list[str]:
        """Return in words what is wrong with carriers in Hz for all links that are used here; nothing if all stands."""
        found = [f"{link} has no carrier" for link in self.leads if link not in carriers]
        found += [f"{link} may not take {hz} Hz" for link, hz in carriers.items() if hz not in self.choices(link)]
        everyone = {self.leads[link]: hz for link, hz in carriers.items()}
        return found + [f"{clash.rule}: {clash.text}" for clash in self.clashes(everyone)]


class Tour(NamedTuple):
    """The venues of a tour: `nights` with a date, in the order of date and file, and those without one."""

    nights: tuple[Night, ...]
    undated: tuple[Night, ...]

    @property
    def all(self) -> tuple[Night, ...]:
        """All venues, those without a date last."""
        return (*self.nights, *self.undated)


def in_order(nights: Iterable[Night]) -> Tour:
    """Return venues in the order of their dates."""
    found = sorted(nights, key=lambda night: (night.plan.date or "", night.plan.file))
    return Tour(
        tuple(night for night in found if night.plan.date is not None),
        tuple(night for night in found if night.plan.date is None),
    )
