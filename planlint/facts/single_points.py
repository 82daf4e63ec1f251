"""Who is left without ears or microphone when one part of the signals' way fails.

A person is out of ears, or of microphone, when every such link of theirs is dead and there was at least one. Spare packs
and links that stand in count: they are what saves the person, as long as they do not hang on the same part. What a
link needs is said by `losses.needed`.
"""

from __future__ import annotations

from typing import NamedTuple

from planlint.facts.losses import Needed, needed
from planlint.facts.packs import stood_in_for
from planlint.plan.model import Link, Plan


class Way(NamedTuple):
    """What a link hangs on, and what to write where that is not known."""

    link: Link
    on: Needed
    needs: tuple[str, ...]

    def lives_without(self, part: str) -> bool:
        """Say whether the link lives when a part fails; one antenna at the end of each way is enough."""
        return part not in self.on.units | self.on.boxes and all(group - {part} for group in self.on.antennas)


class Gone(NamedTuple):
    """What a part takes along: people without ears, people without microphone, links that die; each by id."""

    part: str
    ears: tuple[str, ...]
    mics: tuple[str, ...]
    links: tuple[str, ...]

    @property
    def people(self) -> tuple[str, ...]:
        """Everybody who loses something."""
        return tuple(sorted({*self.ears, *self.mics}))


def ways(plan: Plan) -> tuple[Way, ...]:
    """Return what each in-ear and microphone link used tonight hangs on, by link."""
    used = (plan.links[name] for name in sorted(plan.links))
    return tuple(_way(plan, link) for link in used if link.used and link.kind in {"ear", "mic"})


def single_points(plan: Plan) -> tuple[Gone, ...]:
    """Return what each part takes along, by part; parts that take nobody along are left out."""
    found = ways(plan)
    parts = {part for way in found for part in way.on.units | way.on.boxes | frozenset().union(*way.on.antennas)}
    made = (_gone(plan, found, part) for part in sorted(parts))
    return tuple(gone for gone in made if gone.people)


def _way(plan: Plan, link: Link) -> Way:
    ends = [(link.tx, "mic" if link.kind == "mic" else "tx")]
    ends += [(link.rx, "rx")] if link.kind == "mic" else []
    needs = [f"{link.at}/{key}" for unit, key in ends if unit not in plan.devices]
    on = needed(plan, link)
    return Way(link, on, (*needs, *(need for _, unknown in on.unknown for need in unknown)))


def _gone(plan: Plan, found: tuple[Way, ...], part: str) -> Gone:
    alive = {way.link.id for way in found if way.lives_without(part)}
    dead = tuple(way.link.id for way in found if way.link.id not in alive)
    return Gone(part, _out(_wearers(plan, found), alive), _out(_users(plan, found), alive), dead)


def _out(held: dict[str, set[str]], alive: set[str]) -> tuple[str, ...]:
    """Return the people none of whose links is left."""
    return tuple(person for person in sorted(held) if not held[person] & alive)


def _wearers(plan: Plan, found: tuple[Way, ...]) -> dict[str, set[str]]:
    """Return for each person the in-ear links that one of their packs, or a spare for it, is on."""
    held: dict[str, set[str]] = {}
    for way in found:
        for pack in way.link.packs if way.link.kind == "ear" else ():
            main = pack if pack.stands_in_for is None else stood_in_for(plan, way.link, pack)
            if main is not None and main.person is not None:
                held.setdefault(main.person, set()).add(way.link.id)
    return held


def _users(plan: Plan, found: tuple[Way, ...]) -> dict[str, set[str]]:
    """Return for each person their microphone links, those that stand in for one among them."""
    held: dict[str, set[str]] = {}
    for way in found:
        if way.link.kind == "mic":
            main = plan.links.get(way.link.stands_in_for or "", way.link)
            person = way.link.person or main.person
            if person is not None:
                held.setdefault(person, set()).add(way.link.id)
    return held
