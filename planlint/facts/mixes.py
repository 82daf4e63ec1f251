"""Mixes: what each needs, which links carry it, and on which side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from planlint.document.nodes import escape
from planlint.facts.packs import ear_links
from planlint.facts.split import FEEDS
from planlint.plan.model import Link, Plan


class Mix(NamedTuple):
    """A mix: for whom, how wide, and the desk's outputs; None where that is unwritten."""

    id: str
    person: str | None
    width: str | None
    outs: tuple[int, ...] | None
    spec: Mapping[str, Any]
    at: str


class Carried(NamedTuple):
    """A mix on a link, and the key of `feed` it stands under: stereo, mono, left or right."""

    mix: str
    link: Link
    socket: str

    @property
    def at(self) -> str:
        """The pointer to the mix in the link's feed."""
        return f"{self.link.at}/feed/{self.socket}"


def mixes(plan: Plan) -> list[Mix]:
    """Return every mix, by id."""
    found = []
    for name, spec in sorted(plan.section("mixes").items()):
        outs = spec.get("desk_out")
        at = f"/mixes/{escape(name)}"
        found.append(Mix(name, spec.get("for"), spec.get("width"), None if outs is None else tuple(outs), spec, at))
    return found


def carried(plan: Plan) -> Iterator[Carried]:
    """Yield each mix that a link used tonight is fed, by link; feeds that are no proper form are left out."""
    for link in ear_links(plan):
        if link.feed is not None and frozenset(link.feed) in FEEDS:
            for socket in sorted(link.feed):
                yield Carried(link.feed[socket], link, socket)


def transmitters_needed(stereo: int, mono: int) -> int:
    """Return how many in-ear transmitters so many mixes need: one for each stereo mix, one for two mono mixes."""
    return stereo + -(-mono // 2)
