"""The work: units in walking order by rack, both ends of a link next to each other; and packs by what they need."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from planlint.diff.result import Difference
from planlint.diff.rows import takes_by_send
from planlint.diff.state import CARRIER, LIST
from planlint.diff.words import field_words, step_words, value_words
from planlint.plan.model import Link

_DIGITS = re.compile(r"(\d+)")
_REASONS = frozenset({"old-carrier-fails", "needless-move", "carrier-pinned"})

#: What a pack needs, the most work first.
PackNeed = Literal["read it first", "enter by hand", "send again", "label only", "leave"]
PACK_NEEDS: tuple[PackNeed, ...] = ("read it first", "enter by hand", "send again", "label only", "leave")


class Job(NamedTuple):
    """What is to be entered on one unit: what it is called, its label if it has one, and each step in words."""

    unit: str
    label: str | None
    steps: tuple[str, ...]


class Stop(NamedTuple):
    """A place to stand: a rack if the plan says which, a link if the units are its ends, the jobs, and why."""

    rack: str | None
    link: str | None
    jobs: tuple[Job, ...]
    why: tuple[str, ...]


def natural(text: str) -> tuple[object, ...]:
    """Return a key that sorts TX-2 before TX-10."""
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part) for part in _DIGITS.split(text) if part)


def stops(found: Difference) -> tuple[Stop, ...]:
    """Return the work list."""
    left = set(found.touched.fields)
    made = []
    for link in sorted(found.new_plan.links.values(), key=lambda link: _way(found, link)):
        ends = [unit for unit in _ends(link) if unit in left]
        left.difference_update(ends)
        if ends:
            jobs = tuple(_job(found, unit) for unit in ends)
            made.append(Stop(_rack(found, link), link.id, jobs, tuple(_why(found, link))))
    for unit in sorted(left, key=natural):
        device = found.new_plan.devices.get(unit)
        made.append(Stop(device.rack if device else None, None, (_job(found, unit),), ()))
    return tuple(sorted(made, key=lambda stop: (stop.rack is None, natural(stop.rack or ""))))


def off_tonight(found: Difference) -> dict[str, tuple[str, ...]]:
    """Return the links that the old plan used and the new one does not, with their units that no used link needs."""
    needed = {unit for link in found.new_plan.links.values() if link.used for unit in _ends(link)}
    gone = {}
    for name, link in sorted(found.old_plan.links.items(), key=lambda item: natural(item[0])):
        now = found.new_plan.links.get(name)
        if link.used and link.carrier_hz is not None and (now is None or not now.used):
            gone[name] = tuple(unit for unit in _ends(link) if unit not in needed and unit != name)
    return gone


def packs(found: Difference) -> dict[PackNeed, tuple[str, ...]]:
    """Return the in-ear packs of the new plan by what they need."""
    sorted_in: dict[PackNeed, list[str]] = {need: [] for need in PACK_NEEDS}
    ids = {pack.id for link in found.new_plan.links.values() if link.used for pack in link.packs}
    for unit in sorted(ids, key=natural):
        sorted_in[_need(found, unit)].append(unit)
    return {need: tuple(units) for need, units in sorted_in.items() if units}


def _need(found: Difference, unit: str) -> PackNeed:
    fields = set(found.touched.fields.get(unit, ()))
    takes = takes_by_send(found.new_plan, unit)
    if not fields:
        return "leave"
    if unit in found.touched.unread or "model" in fields:
        return "read it first"
    if fields == {"label"}:
        return "label only"
    return "send again" if takes is not None and fields <= takes else "enter by hand"


def _ends(link: Link) -> list[str]:
    packs = sorted((pack.id for pack in link.packs), key=natural)
    return list(dict.fromkeys(unit for unit in (link.tx, link.rx, *packs, link.id) if unit))


def _rack(found: Difference, link: Link) -> str | None:
    devices = (found.new_plan.devices.get(unit) for unit in _ends(link))
    return next((device.rack for device in devices if device and device.rack), None)


def _way(found: Difference, link: Link) -> tuple[object, ...]:
    rack = _rack(found, link)
    return rack is None, natural(rack or ""), natural(link.id)


def _job(found: Difference, unit: str) -> Job:
    label = found.after[unit].get("label")
    return Job(_called(found, unit), str(label) if label is not None else None, tuple(_steps(found, unit)))


def _called(found: Difference, unit: str) -> str:
    """Return a unit's id; a link that stands for its unwritten ends is called by those."""
    link = found.new_plan.links.get(unit)
    if link is None:
        return unit
    return f"{'the other end of' if link.tx or link.rx or link.packs else 'every unit on'} {unit}"


def _steps(found: Difference, unit: str) -> Iterator[str]:
    fields, after = found.touched.fields[unit], found.after[unit]
    before = found.before.get(unit, {})
    if "model" in fields and unit in found.before:
        yield f"another type of unit ({before.get('model', 'unwritten')} → {after['model']}): enter everything"
        fields = tuple(field for field, value in sorted(after.items()) if value is not None and field != "model")
    elif not before:
        yield "new in the plan: read it first, enter everything"
    shown = [field for field in fields if field != "model" and not field.startswith(LIST)]
    for field in sorted(shown, key=lambda field: (field != CARRIER, field)):
        if before:
            yield step_words(field, before.get(field), after[field])
        else:
            yield f"{field_words(field)} {value_words(field, after[field])}"
    entries = [field for field in fields if field.startswith(LIST)]
    if entries:
        said = (f"{entry.removeprefix(LIST)} {value_words(entry, after.get(entry))}" for entry in entries)
        yield f"list: {', '.join(sorted(said, key=natural))}"


def _why(found: Difference, link: Link) -> Iterator[str]:
    for change in found.changes:
        if link.carrier_at in {change.pointer, change.other_pointer}:
            for item in change.consequences:
                if item.id in _REASONS and (change.kind != "swapped" or link.id in item.message):
                    yield item.message
