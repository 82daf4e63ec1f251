"""Weak spots: each part lost in turn, who goes quiet, and what that the plan keeps in reserve brings them back.

In reserve are packs and links that stand in for one that is down and do not hang on what was lost, and, where a TV
channel comes on the air, spare carriers. A stand-in link or spare carrier counts only where it is clear beside all that
is still on (the sums of `planlint/facts/spares.py`, the lost channel counted as live) and, for a carrier, where every
unit on the link is known to tune it. Which carrier goes to which link is chosen so that most people are back; after a
hundred trials of one more carrier beside those given, the best so far stands, and the loss is marked as unfinished.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal, NamedTuple

from planlint.facts.losses import KINDS, Down, Loss, Needed, losses, needed, played
from planlint.facts.packs import main_packs
from planlint.facts.reserve import allot, clear_beside, switched_on, without
from planlint.plan.model import Link, Pack, Plan

if TYPE_CHECKING:
    from planlint.facts import Facts

What = Literal["ears", "voice", "talk"]


class Saver(NamedTuple):
    """What brings somebody back: a pack, a stand-in link, or a spare carrier for the link.

    Attributes:
        kind: which of them.
        id: the pack, the stand-in link, or the link that moves.
        link: the link they are then on.
        carrier_hz: of a carrier, where to.
        touches: of a carrier, how many units and list entries must be entered again.
    """

    kind: Literal["pack", "link", "carrier"]
    id: str
    link: str
    carrier_hz: int | None = None
    touches: int = 0


class Quiet(NamedTuple):
    """Somebody who hears nothing, is not heard, or cannot talk to the others.

    Attributes:
        who: the person, or the unit or link where the plan names nobody.
        named: whether it is a person.
        what: ears, voice or talk.
        link: on which link.
        unit: the pack of theirs, if it is one.
        saver: what brings them back, or None.
        fallback: what the crew wrote for them under `fallback`; nothing of it is checked here.
    """

    who: str
    named: bool
    what: What
    link: str
    unit: str | None
    saver: Saver | None = None
    fallback: str | None = None


class WeakSpot(NamedTuple):
    """One loss and what comes of it.

    Attributes:
        loss: what is lost.
        quiet: who goes quiet.
        weaker: links that stay up on the other antenna or on what doubles them.
        needs: what to write so that more can be said.
        card: what the crew wrote under `if_lost`, an antenna's box included; nothing of it is checked here.
        unfinished: the trials of spare carriers were used up: more people may be brought back than are here.
    """

    loss: Loss
    quiet: tuple[Quiet, ...]
    weaker: tuple[str, ...]
    needs: tuple[str, ...]
    card: str | None = None
    unfinished: bool = False

    @property
    def lost(self) -> tuple[str, ...]:
        """Who goes quiet, each once; ids where the plan names nobody."""
        return tuple(sorted({quiet.who for quiet in self.quiet}))

    @property
    def stranded(self) -> tuple[str, ...]:
        """Those of them whom nothing in reserve brings back in all they lose."""
        return tuple(sorted({quiet.who for quiet in self.quiet if quiet.saver is None}))


def weak_spots(facts: Facts) -> tuple[WeakSpot, ...]:
    """Return every loss, most people quiet first, then most of them stranded, then by kind and id."""
    plan = facts.plan
    needs = {name: needed(plan, link) for name, link in plan.links.items() if link.used}
    found = [_weak_spot(facts, loss, needs) for loss in losses(plan, facts)]
    return tuple(
        sorted(
            found, key=lambda spot: (-len(spot.lost), -len(spot.stranded), KINDS.index(spot.loss.kind), spot.loss.id)
        )
    )


def unreckoned(facts: Facts) -> tuple[str, ...]:
    """Return what to write so that the TV channels can be taken away too."""
    from planlint.facts.spectrum import raster

    needs = [] if raster(facts.plan)[0] is not None else ["/spectrum/tv_raster"]
    return (*needs, *([] if facts.live_channels is not None or needs else ["/spectrum/tv_occupied"]))


def _weak_spot(facts: Facts, loss: Loss, needs: dict[str, Needed]) -> WeakSpot:
    plan = facts.plan
    down = Down(facts, loss, needs)
    held: set[str] = set(down.weakened())
    quiet: list[Quiet] = []
    for link in played(plan):
        for one in _users(link):
            if link.id not in down.links and not (one.unit and down.pack(one.unit, link)):
                continue
            if _doubled(plan, down, link, one.unit):
                held.add(link.id)
            else:
                quiet.append(one)
    rest = without(facts, down.links, loss)
    for at, one in enumerate(quiet):
        saver = _stand_in(plan, rest, down, one)
        quiet[at] = one._replace(saver=saver, fallback=_fallback(plan, one))
        rest = rest if saver is None else switched_on(rest, saver.link)
    lacking = down.unknown(plan)
    unfinished = False
    if loss.kind == "tv-channel":
        moves, more, unfinished = allot(rest, plan, _people(quiet))
        quiet = [
            one._replace(saver=Saver("carrier", one.link, one.link, *moves[one.link]))
            if one.saver is None and one.link in moves else one
            for one in quiet
        ]  # fmt: skip
        lacking = tuple(sorted({*lacking, *more}))
    return WeakSpot(loss, tuple(quiet), tuple(sorted(held)), lacking, _card(plan, loss), unfinished)


def _users(link: Link) -> Iterator[Quiet]:
    """Yield who uses a link: whoever wears its packs, or speaks into it; the link itself where nobody is written."""
    packs = main_packs(link)
    if link.kind == "ear":
        for pack in packs:
            yield Quiet(pack.person or pack.id, pack.person is not None, "ears", link.id, pack.id)
        if not packs:
            yield Quiet(link.id, named=False, what="ears", link=link.id, unit=None)
    else:
        what: What = "voice" if link.kind == "mic" else "talk"
        yield Quiet(link.person or link.id, link.person is not None, what, link.id, None)


def _doubled(plan: Plan, down: Down, link: Link, unit: str | None) -> bool:
    """Say whether something that doubles a link or pack, or that it doubles, is still up."""
    for other in plan.links.values():
        if not other.used:
            continue
        if unit is None:
            twins = other.id == link.spec.get("doubles") or other.spec.get("doubles") == link.id
            if twins and other.id not in down.links:
                return True
            continue
        mine = link.spec["packs"][unit].get("doubles")
        for pack in other.packs:
            twins = pack.id == mine or other.spec["packs"][pack.id].get("doubles") == unit
            if twins and not down.pack(pack.id, other):
                return True
    return False


def _stand_in(plan: Plan, rest: Facts, down: Down, quiet: Quiet) -> Saver | None:
    """Return the pack or link in reserve that brings somebody back: on their own link first, then by id."""
    if quiet.unit is not None:
        links = sorted(
            (link for link in plan.links.values() if link.used), key=lambda link: (link.id != quiet.link, link.id)
        )
        for link in links:
            for pack in sorted(link.packs, key=lambda pack: pack.id):
                if _serves(pack, quiet.unit, down, link) and (link.stands_in_for is None or clear_beside(rest, link)):
                    return Saver("pack", pack.id, link.id)
    for link in sorted(plan.links.values(), key=lambda link: link.id):
        if link.stands_in_for == quiet.link and link.used and link.id not in down.links:
            whole = quiet.what != "ears" or any(not down.pack(pack.id, link) for pack in link.packs)
            if whole and clear_beside(rest, link):
                return Saver("link", link.id, link.id)
    return None


def _serves(pack: Pack, unit: str, down: Down, link: Link) -> bool:
    return pack.stands_in_for == unit and not down.pack(pack.id, link)


def _people(quiet: Sequence[Quiet]) -> dict[str, list[str]]:
    """Return for each link that is down who is quiet on it and has nothing else."""
    found: dict[str, list[str]] = {}
    for one in quiet:
        if one.saver is None:
            found.setdefault(one.link, []).append(one.who)
    return found


def _fallback(plan: Plan, quiet: Quiet) -> str | None:
    words = plan.section("fallback").get(quiet.who) if quiet.named and quiet.what == "ears" else None
    return str(words) if words is not None else None


def _card(plan: Plan, loss: Loss) -> str | None:
    antenna = plan.section("antennas").get(loss.id) if loss.kind == "antenna" else None
    box = antenna.get("through") if isinstance(antenna, dict) else None
    cards = plan.section("if_lost")
    words = None if loss.kind == "tv-channel" else cards.get(loss.id, cards.get(str(box)))
    return str(words) if words is not None else None
