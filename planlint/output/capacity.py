"""How much room there is and what a tour's venues leave of it, for people and programs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from planlint.assign.capacity import Count, Room
from planlint.engine.capacity import Capacity
from planlint.facts import Facts
from planlint.output import tour_matrix
from planlint.output.levels import harmless_lines
from planlint.plan.quantity import mhz

_RULES = 6


def as_text(facts: Facts, found: Capacity) -> str:
    """Return the answer as text."""
    lines = [f"{facts.plan.file} · {facts.plan.date or 'no date written'}", ""]
    lines.append("More links beside tonight's live set, each kind on its own, all of them on the whole day:")
    for one in found.rooms:
        lines += _room(one)
    if any(one.other_ranges for one in found.rooms):
        lines += [
            "",
            "If the units tuned other ranges, tonight's carriers, steps, combiners and splitters as they are:",
        ]
        lines += list(_ranges(found.rooms))
    lines.append("")
    if found.tour is not None:
        lines += tour_matrix.as_lines(found.tour)
    else:
        lines.append(f"No tour matrix: {found.no_tour}.")
    assumed = dict.fromkeys(text for one in found.rooms for text in one.assumed)
    lines += [f"Taken for granted: {text}" for text in assumed]
    lines.append("This says what was searched and found, no more; planlint check judges every rule.")
    return harmless_lines(lines)


def _room(one: Room) -> Iterator[str]:
    now = one.now
    yield f"  {one.kind:<5}  {_fits(now)}"
    beside = f"of {one.tunable} carriers its units can be set to, " if one.tunable else ""
    like = f", for links like {_ids(one.suits)}" if one.suits and len(one.suits) < len(one.links) else ""
    yield f"         {beside}{now.allowed} are allowed, {now.clear} of those clear beside the live set{like}"
    if one.closed:
        share = [f"{rule} {_percent(count, one.tunable)}" for rule, count in one.closed[:_RULES]]
        more = f" and {len(one.closed) - _RULES} more rules" if len(one.closed) > _RULES else ""
        yield f"         closed by {', '.join(share)}{more} (a carrier may count under several)"


def _fits(count: Count) -> str:
    if count.proven:
        return f"found {count.found}, and no more than that can fit: proven"
    return f"found {count.found}; no more than {count.bound} can fit"


def _ids(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"


def _percent(part: int, whole: int) -> str:
    share = 100 * part / whole if whole else 0
    return "under 1 %" if 0 < share < 1 else f"{share:.0f} %"


def _ranges(rooms: tuple[Room, ...]) -> Iterator[str]:
    rows = [
        (
            one.kind if at == 0 else "",
            count,
            ", ".join(f"{mhz(span.low_hz)}-{mhz(span.high_hz)}" for span in count.ranges),
        )
        for one in rooms
        if one.other_ranges
        for at, count in enumerate((one.now, *one.other_ranges))
    ]
    wide = max((len(spans) for *_, spans in rows), default=0)
    yield f"  kind   range                    {'MHz':<{wide}}  found  at most  allowed"
    for kind, count, spans in rows:
        proven = "  proven" if count.proven else ""
        numbers = f"{count.found:>5}  {count.bound:>7}  {count.allowed:>7}"
        yield f"  {kind:<5}  {count.label:<23}  {spans:<{wide}}  {numbers}{proven}"


def as_json(facts: Facts, found: Capacity) -> str:
    """Return the answer as JSON (schemas/capacity.schema.json)."""
    document = {
        "format": 1,
        "plan": facts.plan.file,
        "kinds": [_room_json(one) for one in found.rooms],
        "tour": None if found.tour is None else tour_matrix.as_value(found.tour),
        "no_tour": found.no_tour,
    }
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _room_json(one: Room) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "links": list(one.links),
        "like": list(one.suits),
        "tunable": one.tunable,
        "closed": dict(one.closed),
        "now": _count_json(one.now),
        "other_ranges": [_count_json(count) for count in one.other_ranges],
        "assumed": list(one.assumed),
    }


def _count_json(count: Count) -> dict[str, Any]:
    return {
        "range": count.label,
        "tuning": [{"low_hz": span.low_hz, "high_hz": span.high_hz} for span in count.ranges],
        "allowed": count.allowed,
        "clear": count.clear,
        "found": count.found,
        "at_most": count.bound,
        "proven": count.proven,
        "carriers_hz": list(count.carriers_hz),
    }
