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
from planlint.facts.hands import retune

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
    def members(self) -> dict[str, tuple[str, ...]]:
        """The links used here, by the link that names them: itself, or the first of those that share its emission."""
        first: dict[str, str] = {}
        for name in sorted(self.plan.links):
            shared = self.plan.links[name].wide_emission
            if shared is not None:
                first.setdefault(shared, name)
        found: dict[str, list[str]] = {}
        for name in self.state.used:
            shared = self.plan.links[name].wide_emission
            found.setdefault(name if shared is None else first[shared], []).append(name)
        return {key: tuple(names) for key, names in sorted(found.items())}

    def leader(self, link: str) -> str:
        """Return the id under which a link's emission is on the air here."""
        member = self.members[link][0]
        return self.facts.leaders.get(member, member)

    def weigh(self, link: str) -> int:
        """Return how many touches it takes to re-tune a link, and those that share its emission."""
        names = self.members[link]
        if len(names) == 1:
            return self.state.weigh(names[0])
        return len({(touch.unit, touch.entry) for name in names for touch in retune(self.plan, self.plan.links[name])})

    def written(self, link: str) -> int | None:
        """Return the carrier in Hz that the plan has for a link."""
        return self.facts.carriers.get(self.leader(link))

    @cached_property
    def staying(self) -> dict[str, int]:
        """Carriers in Hz of others and of pinned links, by id."""
        known = self.facts.carriers
        return {name: known[name] for name in sorted(known) if name in self.plan.others or name in self.state.pinned}

    def choices(self, link: str) -> frozenset[int]:
        """Return what a link may take beside those who stay; a pinned link its own carrier, whatever is said of it."""
        if link not in self._choices:
            lines = [self._line(name) for name in self.members[link]]
            self._choices[link] = frozenset.intersection(*lines)
        return self._choices[link]

    def _line(self, name: str) -> frozenset[int]:
        if name in self.state.pinned:
            return frozenset({self.facts.carriers[name]})
        line = self.state.domain(name)
        leader = self.facts.leaders.get(name, name)
        return frozenset(line[~self.state.air.blocked(leader, line, self.staying)].tolist())

    def clashes(self, carriers: Mapping[str, int]) -> list[Clash]:
        """Return what clashes when links stand on these carriers in Hz, by their own ids, beside those who stay."""
        others = {name: hz for name, hz in self.staying.items() if name in self.plan.others}
        found = self.state.air.clashes({**others, **carriers})
        stay = self.staying.keys()
        return [clash for clash in found if not stay >= set(clash.ids)]

    def wrong(self, carriers: Mapping[str, int]) -> list[str]:
        """Return in words what is wrong with carriers in Hz for all links that are used here; nothing if all stands."""
        found = [f"{link} has no carrier" for link in self.members if link not in carriers]
        found += [f"{link} may not take {hz} Hz" for link, hz in carriers.items() if hz not in self.choices(link)]
        everyone = {name: hz for link, hz in carriers.items() for name in self.members[link]}
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
