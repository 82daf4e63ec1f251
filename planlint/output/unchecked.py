"""What was not checked, folded into a few lines: write this to check that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from planlint.document.nodes import split_pointer
from planlint.finding import NotChecked

MAX_LINES = 8
_NAMED = 6


class _Topic(NamedTuple):
    """Facts that are written together: what to write, and what can be checked then."""

    write: str
    check: str


#: From what a newcomer writes first to what comes last.
_TOPICS = {
    "region": _Topic("show.region", "the law"),
    "tv": _Topic("spectrum.tv_occupied", "live TV channels"),
    "carriers": _Topic("every carrier", "spacing and intermodulation"),
    "spares": _Topic("spares_mhz", "spare carriers"),
    "others": _Topic("spectrum.others_on_air", "other people's carriers"),
    "packs": _Topic("packs on the links and pack_defaults", "the limiter, hearing, decoding, cells"),
    "mixes": _Topic("mixes, and feed on the links", "mixes, patching, split pairs"),
    "units": _Topic("tx, mic and rx on the links, with devices and models", "tuning, steps, power, labels"),
    "scans": _Topic("scans", "floors at the carriers"),
    "range": _Topic("reach and antennas", "range and antennas"),
}
_ORDER = tuple(_TOPICS)
_BY_SECTION = {
    "spares_mhz": "spares", "pack_defaults": "packs", "earphones": "packs", "mixes": "mixes", "devices": "units",
    "models": "units", "hired": "units", "scans": "scans", "reach": "range", "antennas": "range", "apart_m": "range",
    "region": "region",
}  # fmt: skip


def _topic(need: str) -> str | None:
    """Return the topic of a missing fact, or None."""
    head, *rest = split_pointer(need) or [""]
    last = rest[-1] if rest else ""
    if head in {"show", "tour"} and last == "region":
        return "region"
    if head == "spectrum" and rest:
        return "tv" if rest[0].startswith("tv_") else "others" if rest[0] == "others_on_air" else None
    if head in {"links", "carriers"}:
        if last == "carrier_mhz" or len(rest) <= 1:
            return "carriers"
        return {"packs": "packs", "feed": "mixes"}.get(rest[1], "units")
    return "range" if head == "policy" and rest[:1] == ["link"] else _BY_SECTION.get(head)


def fold(entries: Iterable[NotChecked]) -> Iterator[str]:
    """Yield a handful of lines; each rule stands under the first topic that it lacks."""
    topics: dict[str, list[str]] = {}
    others: dict[str, list[str]] = {}
    for entry in entries:
        found = min((_ORDER.index(topic) for need in entry.needs if (topic := _topic(need))), default=None)
        if found is not None:
            topics.setdefault(_ORDER[found], []).append(entry.rule)
        else:
            others.setdefault(_section(entry.needs), []).append(entry.rule)
    if not topics and not others:
        return
    yield "not checked:"
    shown = [topic for topic in _ORDER if topic in topics]
    for topic in shown[:MAX_LINES]:
        yield f"  write {_TOPICS[topic].write} to check {_TOPICS[topic].check} ({_count(topics[topic])})"
    rest = [rule for topic in shown[MAX_LINES:] for rule in topics[topic]]
    words = [_TOPICS[topic].write for topic in shown[MAX_LINES:]]
    words += sorted(others, key=lambda section: (-len(others[section]), section))
    rest += [rule for rules in others.values() for rule in rules]
    if rest:
        more = f" and {len(words) - _NAMED} more" if len(words) > _NAMED else ""
        yield f"  write {', '.join(words[:_NAMED])}{more} to check the rest ({_count(rest)}; --format json lists all)"


def _count(rules: list[str]) -> str:
    return rules[0] if len(rules) == 1 else f"{len(rules)} rules"


def _section(needs: tuple[str, ...]) -> str:
    parts = split_pointer(needs[0]) if needs else []
    if not parts:
        return "this file"
    deep = len(parts) > 1 and parts[0] in {"show", "spectrum", "policy", "tour"}
    return f"{parts[0]}.{parts[1]}" if deep else parts[0]
