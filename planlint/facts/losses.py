"""Who is left without ears or microphone when one part of the signal's way fails.

A link lives while its transmitter does, while a way leads from that transmitter to the air (one antenna is enough), and
for a microphone while its receiver hears: at least one of the receiver's antennas, and every box on the way. A person
is out of ears, or of microphone, when every such link of theirs is dead and there was at least one. Spare packs and
links that stand in count: they are what saves the person, as long as they do not hang on the same part.
"""

from __future__ import annotations

from typing import NamedTuple

from planlint.facts.packs import stood_in_for
from planlint.facts.route import Route, route
from planlint.plan.model import Device, Link, Plan


class Way(NamedTuple):
    """What a link hangs on.

    Attributes:
        link: the link.
        all_of: units and boxes that must all live.
        any_of: for each end with antennas, ids of which one must live.
        needs: pointers to write where the way is not known.
    """

    link: Link
    all_of: frozenset[str]
    any_of: tuple[frozenset[str], ...]
    needs: tuple[str, ...]

    def lives_without(self, part: str) -> bool:
        """Say whether the link lives when a part fails."""
        return part not in self.all_of and all(choice - {part} for choice in self.any_of)


class Loss(NamedTuple):
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


def losses(plan: Plan) -> tuple[Loss, ...]:
    """Return what each part takes along, by part; parts that take nobody along are left out."""
    found = ways(plan)
    parts = {part for way in found for part in (*way.all_of, *(name for choice in way.any_of for name in choice))}
    made = (_loss(plan, found, part) for part in sorted(parts))
    return tuple(loss for loss in made if loss.people)


def _loss(plan: Plan, found: tuple[Way, ...], part: str) -> Loss:
    alive = {way.link.id for way in found if way.lives_without(part)}
    dead = tuple(way.link.id for way in found if way.link.id not in alive)
    ears, mics = _wearers(plan, found), _users(plan, found)
    return Loss(part, _out(ears, alive, part), _out(mics, alive, part), dead)


def _out(held: dict[str, set[tuple[str, str | None]]], alive: set[str], part: str) -> tuple[str, ...]:
    """Return the people none of whose links, by any unit, is left."""
    return tuple(
        person
        for person in sorted(held)
        if not any(link in alive and unit != part for link, unit in held[person])
    )  # fmt: skip


def _wearers(plan: Plan, found: tuple[Way, ...]) -> dict[str, set[tuple[str, str | None]]]:
    """Return for each person the links they can hear, each with the pack they hear it by."""
    held: dict[str, set[tuple[str, str | None]]] = {}
    for way in found:
        if way.link.kind != "ear":
            continue
        for pack in way.link.packs:
            main = pack if pack.stands_in_for is None else stood_in_for(plan, way.link, pack)
            if main is not None and main.person is not None:
                held.setdefault(main.person, set()).add((way.link.id, pack.id))
    return held


def _users(plan: Plan, found: tuple[Way, ...]) -> dict[str, set[tuple[str, str | None]]]:
    held: dict[str, set[tuple[str, str | None]]] = {}
    for way in found:
        if way.link.kind == "mic":
            main = plan.links.get(way.link.stands_in_for or "", way.link)
            person = way.link.person or main.person
            if person is not None:
                held.setdefault(person, set()).add((way.link.id, None))
    return held


def _way(plan: Plan, link: Link) -> Way:
    all_of: set[str] = set()
    any_of: list[frozenset[str]] = []
    needs: list[str] = []
    kind = str(link.kind)
    ends: list[tuple[str | None, bool, str]] = [(link.tx, True, "mic" if kind == "mic" else "tx")]
    if kind == "mic":
        ends.append((link.rx, False, "rx"))
    for unit, out, key in ends:
        device = plan.devices.get(unit) if unit else None
        if device is None:
            needs.append(f"{link.at}/{key}")
            continue
        all_of.add(device.id)
        found = _route(plan, device, kind, out=out)
        all_of.update(found.boxes)
        needs += found.needs
        if found.antennas:
            any_of.append(frozenset(found.antennas))
    return Way(link, frozenset(all_of), tuple(any_of), tuple(needs))


def _route(plan: Plan, device: Device, kind: str, *, out: bool) -> Route:
    return route(plan, device, "out" if out else "in", kind)
