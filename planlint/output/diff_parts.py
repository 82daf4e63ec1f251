"""A difference as the parts of a sheet, in the order in which a crew needs them; text and Markdown only set it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from typing import NamedTuple

from planlint.diff.change import Change
from planlint.diff.effect import Worse
from planlint.diff.result import Difference
from planlint.diff.safety import wearer
from planlint.diff.side import Side
from planlint.diff.words import change_words, field_words
from planlint.diff.worklist import Job, natural, off_tonight, packs, stops
from planlint.document.nodes import split_pointer
from planlint.finding import Finding
from planlint.plan.model import Plan

FIRST = "Ears out or packs at minimum before anything moves."
_SAFETY = (
    *("limiter-raised", "gain-raised", "earphone-swap", "sum-level-jump", "volume-fixed", "power-raised"),
    *("limiter-lowered", "gain-lowered", "power-lowered"),
)
_BY_PACK = frozenset({"display-name-old", "left-from-partial-send"})
_TOLD = _BY_PACK | frozenset(_SAFETY)
#: New findings, and worse ones, that are shown: nobody reads on in the dark.
_MOST = 12
#: What the head lines say already.
_IN_HEAD = frozenset({"/show/id", "/show/date", "/show/place", "/show/town"})
_PATCH = frozenset({"tx", "rx", "mic", "feed", "desk_in", "desk_out", "into", "loop_from", "person", "stands_in_for"})


class Line(NamedTuple):
    """One line before wrapping: its text, how deep it stands, and whether it is a job to tick off."""

    text: str
    depth: int = 0
    box: bool = False


class Part(NamedTuple):
    """A titled part of the sheet."""

    title: str
    lines: tuple[Line, ...]


class Sheet(NamedTuple):
    """The whole: the first line, the head lines, the parts, and how it was judged."""

    first: str
    head: tuple[str, ...]
    parts: tuple[Part, ...]
    last: str


def sheet(found: Difference) -> Sheet:
    """Return a difference as a sheet; a part with nothing to say is left out."""
    makers: tuple[tuple[str, Callable[[Difference], Iterator[Line]]], ...] = (
        ("Safety first", _safety),
        ("Work list", _work),
        ("Leave alone", _leave),
        ("By person", _people),
        ("By pack", _packs),
        ("Labels", _labels),
        ("Patch", lambda found: _changes(found, "patch")),
        ("Antennas and racks", lambda found: _changes(found, "antenna")),
        ("The day", lambda found: _changes(found, "day")),
        ("Also changed", lambda found: _changes(found, "other")),
        ("Risk", _risk),
    )
    parts = ((title, tuple(maker(found))) for title, maker in makers)
    last = (
        f"Rules on the new plan: {found.rules_run} ran, {found.rules_lacking} lacked facts. "
        "This says what was compared, checked and found, no more."
    )
    return Sheet(FIRST, tuple(_head(found)), tuple(Part(title, lines) for title, lines in parts if lines), last)


def _head(found: Difference) -> Iterator[str]:
    hands = found.hands
    if not found.differs:
        yield "No difference: nothing to touch."
    else:
        entries = f", {hands.entries} list entr{'y' if hands.entries == 1 else 'ies'}" if hands.entries else ""
        rate = "the house's rate" if hands.house else "the documented default"
        yield (
            f"{hands.units} unit{'' if hands.units == 1 else 's'} to touch{entries}: about {hands.minutes:.0f} min "
            f"({hands.min_per_unit:g} min each, {rate})."
        )
    yield f"from {_side(found.old, found.old_plan)}"
    yield f"to   {_side(found.new, found.new_plan)}"
    if found.old.record:
        yield f"The units start from what was found ({found.old.record}), not from what was planned."


def _side(side: Side, plan: Plan) -> str:
    words = [plan.show.get("place"), plan.show.get("town"), plan.date]
    said = ", ".join(str(word) for word in words if word)
    return f"{side.label}{f' ({said})' if said else ''}"


def _safety(found: Difference) -> Iterator[Line]:
    items = [item for item in found.consequences if item.id in _SAFETY]
    for item in sorted(items, key=lambda item: _SAFETY.index(item.id)):
        yield Line(item.message)


def _work(found: Difference) -> Iterator[Line]:
    rack: str | None = ""
    for stop in stops(found):
        if stop.rack != rack:
            rack = stop.rack
            yield Line(f"Rack {rack}" if rack else "Without a rack")
        if stop.link:
            yield Line(stop.link, 1)
        for job in stop.jobs:
            yield Line(_job(job), 2, box=True)
        for why in stop.why:
            yield Line(f"why: {why}", 2)
    for link, units in off_tonight(found).items():
        yield Line(f"{link} is not used: {', '.join(units) or 'its units'} off", 0, box=True)


def _job(job: Job) -> str:
    label = f' "{job.label}"' if job.label else ""
    return f"{job.unit}{label}: {'; '.join(job.steps)}"


def _leave(found: Difference) -> Iterator[Line]:
    off = {unit for units in off_tonight(found).values() for unit in units}
    leave = [unit for unit in sorted(found.touched.leave, key=natural) if unit not in off]
    if leave:
        yield Line(", ".join(leave))


def _people(found: Difference) -> Iterator[Line]:
    by_person: dict[str, list[str]] = {}
    receivers = {link.rx for link in found.new_plan.links.values()}
    for unit, fields in found.touched.fields.items():
        person = wearer(found.new_plan, unit)
        if person and unit not in receivers:
            by_person.setdefault(person, []).append(f"{unit} ({', '.join(dict.fromkeys(map(_short, fields)))})")
    for person in sorted(by_person, key=natural):
        yield Line(f"{person}: {', '.join(sorted(by_person[person], key=natural))}")


def _short(field: str) -> str:
    return "list" if field.startswith("listens_to/") else field_words(field)


def _packs(found: Difference) -> Iterator[Line]:
    for need, units in packs(found).items():
        yield Line(f"{need}: {', '.join(units)}")
    for item in found.consequences:
        if item.id in _BY_PACK:
            yield Line(item.message)


def _labels(found: Difference) -> Iterator[Line]:
    before, after = found.before, found.after
    for unit in sorted(before.keys() | after.keys(), key=natural):
        was, now = before.get(unit, {}).get("label"), after.get(unit, {}).get("label")
        if was == now:
            continue
        if now is not None:
            yield Line(f'print "{now}" for {unit}')
        if was is not None:
            yield Line(f'peel "{was}" off {unit}')


def _changes(found: Difference, sort: str) -> Iterator[Line]:
    for change in found.changes:
        if _sort(change) == sort:
            yield Line(change_words(change, short=change.pointer.startswith(("/day/", "/antennas/"))))


def _sort(change: Change) -> str:
    parts = split_pointer(change.pointer)
    if parts[0] == "day":
        return "day"
    if parts[0] in {"antennas", "apart_m", "racks"}:
        return "antenna"
    whole_pack = parts[0] == "links" and len(parts) == 4 and parts[2] == "packs"
    if whole_pack or (parts[0] in {"links", "mixes", "devices"} and _PATCH & set(parts[2:])):
        return "patch"
    if change.pointer in _IN_HEAD or any(item.id == "enter-again" for item in change.consequences):
        return "told"
    return "other"


def _risk(found: Difference) -> Iterator[Line]:
    gained = found.effect
    for finding in gained.new[:_MOST]:
        yield Line(f"new {finding.severity} {finding.rule}: {finding.message}")
    for worse in gained.worse[:_MOST]:
        yield Line(f"worse {worse.finding.rule}{_subjects(worse.finding)}: {_worse(worse)}")
    left = len(gained.new[_MOST:]) + len(gained.worse[_MOST:])
    if left:
        yield Line(f"and {left} more that are new or worse (--format json lists all)")
    for item in found.consequences:
        if item.id not in _TOLD and (item.severity != "note" or item.id == "died-since-last"):
            yield Line(f"{item.severity} {item.id}: {item.message}")
    gone = Counter((finding.severity, finding.rule) for finding in gained.gone)
    if gone:
        yield Line("gone: " + ", ".join(f"{count} {severity} {rule}" for (severity, rule), count in gone.items()))
    if found.risks:
        yield Line(f"For --fail-on risk: {', '.join(found.risks)}")


def _subjects(finding: Finding) -> str:
    return f" ({', '.join(finding.subjects)})" if finding.subjects else ""


def _worse(worse: Worse) -> str:
    """Return the numbers that differ between two findings that are the same."""
    now, was = worse.finding, worse.was
    said = [f"{now.severity}, was {was.severity}"] if now.severity != was.severity else []
    for name, value in now.values.items():
        before = was.values.get(name)
        if before is not None and before != value:
            said.append(f"{name} {before} → {value}")
    return "; ".join(said)
