"""What the rules about packs share: what is missing, and how a pack is named in a message."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from planlint.facts.packs import Setting, ear_links
from planlint.finding import Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link, Pack


def lacking_packs(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is not checked because in-ear links used tonight do not name their packs."""
    if not plan.links:
        yield Unchecked(("/links",))
    for link in ear_links(plan):
        if "packs" not in link.spec:
            yield Unchecked((f"{link.at}/packs",), (link.id,))


def lacking_feeds(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is not checked because in-ear links used tonight do not say which mixes feed them."""
    if not plan.links:
        yield Unchecked(("/links",))
    for link in ear_links(plan):
        if link.feed is None:
            yield Unchecked((f"{link.at}/feed",), (link.id,))


def lacking_split_packs(plan: Plan) -> Iterator[Unchecked]:
    """Yield what is missing for judging the packs of split pairs: feeds, and the packs of those that are split."""
    yield from lacking_feeds(plan)
    for link in ear_links(plan):
        if link.feed is not None and "left" in link.feed and "packs" not in link.spec:
            yield Unchecked((f"{link.at}/packs",), (link.id,))


def named(pack: Pack) -> str:
    """Name a pack with whoever wears it: `PK-2 (gtr)`, `PK-S (spare for PK-1)`."""
    if pack.stands_in_for:
        return f"{pack.id} (spare for {pack.stands_in_for})"
    return f"{pack.id} ({pack.person})" if pack.person else pack.id


def who(pack: Pack) -> str:
    """Name whoever wears a pack, or say so in words."""
    return pack.person or "its wearer"


def sender(link: Link) -> str:
    """Name a link's transmitter, else the link's transmitter in words."""
    return link.tx or f"{link.id}'s transmitter"


def subjects(link: Link, *packs: Pack) -> tuple[str, ...]:
    """Return a link and packs on it, for `subjects`."""
    return (link.id, *(pack.id for pack in packs))


def house_mark(found: Setting) -> tuple[Mark, ...]:
    """Return a mark at the house setting where a pack's setting comes from there."""
    if found.value is not None and found.at.startswith("/pack_defaults/"):
        return (Mark(found.at, "set for every pack here"),)
    return ()


def joined(names: Iterable[str], word: str = "and") -> str:
    """Write a list as people do: `A`, `A and B`, `A, B and C`."""
    *first, last = names
    return f"{', '.join(first)} {word} {last}" if first else last


def text(value: Any) -> str:
    """Write a setting without superfluous zeros: `-12`, `0.5`, `none`."""
    return value if isinstance(value, str) else f"{float(value):g}"


def value(setting: Any) -> Value:
    """Return a setting for `values`: text as it is, a number as an int where it is whole."""
    if isinstance(setting, str):
        return setting
    number = float(setting)
    return int(number) if number.is_integer() else number
