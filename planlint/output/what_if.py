"""What a guest's carrier, or a link switched off, would change: for people and programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planlint.engine.what_if import Change, Worst
from planlint.facts import Facts
from planlint.output.answer import LAST, dump, finding_lines, finding_objects, neighbour_object
from planlint.output.levels import harmless_lines
from planlint.plan.quantity import khz, khz_number, mhz


def as_text(facts: Facts, found: Change) -> str:
    """Return what changes as text."""
    lines = [f"{facts.plan.file} · what if; nothing is written", "", *_asked(found)]
    lines += ["", f"New: {len(found.new)}"]
    lines += finding_lines(found.new, len(found.new))
    lines += ["", f"Gone: {len(found.gone)}"]
    lines += [f"  {one.severity} {one.rule}: {', '.join(one.subjects)}" for one in found.gone]
    lines += ["", f"Least margin: {_worst(found.before)} now, {_worst(found.after)} then"]
    if found.quiet:
        lines.append(
            f"Before it goes off, to minimum volume: {', '.join(found.quiet)}. A pack without its carrier may be loud."
        )
    return harmless_lines([*lines, "", LAST])


def _asked(found: Change) -> Iterator[str]:
    for guest in found.guests:
        yield f"On: {mhz(guest.carrier_hz)}, somebody else's, taken as {khz(guest.width_hz)} kHz wide and on all day"
        for one in guest.neighbours:
            where = "on the same carrier" if one.side == "on it" else f"{khz(one.gap_hz)} kHz {one.side}"
            yield f"  beside it {one.id} {mhz(one.carrier_hz)}, {where}, limit {khz(one.limit_hz)}"
    if found.off:
        yield f"Off: {', '.join(found.off)}"


def _worst(worst: Worst | None) -> str:
    if worst is None:
        return "nothing near"
    where = "past" if worst.margin_hz >= 0 else "within"
    return f"{khz(abs(worst.margin_hz))} kHz {where} a limit ({worst.link})"


def as_json(facts: Facts, found: Change) -> str:
    """Return the same as JSON (schemas/what-if.schema.json)."""
    return dump(
        {
            "format": 1,
            "plan": facts.plan.file,
            "add": [
                {
                    "carrier_hz": guest.carrier_hz,
                    "width_khz": khz_number(guest.width_hz),
                    "neighbours": [neighbour_object(one) for one in guest.neighbours],
                }
                for guest in found.guests
            ],
            "off": list(found.off),
            "new": finding_objects(found.new),
            "gone": finding_objects(found.gone),
            "least_margin": {"before": _worst_json(found.before), "after": _worst_json(found.after)},
            "to_minimum": list(found.quiet),
        }
    )


def _worst_json(worst: Worst | None) -> dict[str, Any] | None:
    return None if worst is None else {"link": worst.link, "margin_khz": khz_number(worst.margin_hz)}
