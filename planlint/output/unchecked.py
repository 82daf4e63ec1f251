"""What was not checked, folded into a few lines: write this to check that."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from planlint.document.nodes import split_pointer
from planlint.finding import NotChecked

MAX_LINES = 8
_NAMED = 6


class _Topic(NamedTuple):
    """Facts that are written together: what to write, what can be checked then, and which pointers are meant."""

    write: str
    check: str
    pointers: re.Pattern[str]


def _topic(write: str, check: str, pointers: str) -> _Topic:
    return _Topic(write, check, re.compile(pointers))


#: From what a newcomer writes first to what comes last.
_TOPICS = (
    _topic("show.region", "the law", r"/(show|tour)/region$|/region$"),
    _topic("spectrum.tv_occupied", "live TV channels", r"/spectrum/tv_"),
    _topic("every carrier", "spacing and intermodulation", r"/(carriers|links)/[^/]*(/carrier_mhz)?$|/links$|/carriers$"),
    _topic("spares_mhz", "spare carriers", r"/spares_mhz"),
    _topic("spectrum.others_on_air", "other people's carriers", r"/spectrum/others_on_air"),
    _topic("packs on the links and pack_defaults", "the limiter, hearing, decoding, cells", r"/links/[^/]*/packs|/pack_defaults|/earphones"),
    _topic("mixes, and feed on the links", "mixes, patching, split pairs", r"/links/[^/]*/feed|/mixes"),
    _topic("tx, mic and rx on the links, with devices and models", "tuning, steps, power, labels", r"/links/|/devices|/models|/hired"),
    _topic("scans", "floors at the carriers", r"/scans"),
    _topic("reach and antennas", "range and antennas", r"/reach|/antennas|/apart_m|/policy/link"),
)  # fmt: skip


def fold(entries: Iterable[NotChecked]) -> Iterator[str]:
    """Yield a handful of lines; each rule stands under the first topic that it lacks."""
    topics: dict[_Topic, list[str]] = {}
    others: dict[str, list[str]] = {}
    for entry in entries:
        found = min((_TOPICS.index(topic) for need in entry.needs for topic in _of(need)), default=None)
        if found is not None:
            topics.setdefault(_TOPICS[found], []).append(entry.rule)
        else:
            others.setdefault(_section(entry.needs), []).append(entry.rule)
    if not topics and not others:
        return
    yield "not checked:"
    shown = [topic for topic in _TOPICS if topic in topics]
    for topic in shown[:MAX_LINES]:
        yield f"  write {topic.write} to check {topic.check} ({_count(topics[topic])})"
    rest = [rule for topic in shown[MAX_LINES:] for rule in topics[topic]]
    words = [topic.write for topic in shown[MAX_LINES:]]
    words += sorted(others, key=lambda section: (-len(others[section]), section))
    rest += [rule for rules in others.values() for rule in rules]
    if rest:
        more = f" and {len(words) - _NAMED} more" if len(words) > _NAMED else ""
        yield f"  write {', '.join(words[:_NAMED])}{more} to check the rest ({_count(rest)}; --format json lists all)"


def _of(need: str) -> Iterator[_Topic]:
    for topic in _TOPICS:
        if topic.pointers.match(need):
            yield topic
            return


def _count(rules: list[str]) -> str:
    return rules[0] if len(rules) == 1 else f"{len(rules)} rules"


def _section(needs: tuple[str, ...]) -> str:
    parts = split_pointer(needs[0]) if needs else []
    if not parts:
        return "this file"
    deep = len(parts) > 1 and parts[0] in {"show", "spectrum", "policy", "tour"}
    return f"{parts[0]}.{parts[1]}" if deep else parts[0]
