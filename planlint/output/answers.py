"""Answers about carriers for people and programs: spares, why not, what if, where a dying link goes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from planlint.assign.ask import Look, Way
from planlint.assign.spares import Ladder
from planlint.engine.what_if import Change
from planlint.facts import Facts
from planlint.facts.hands import rate
from planlint.finding import Finding, Touch
from planlint.output.levels import harmless_lines
from planlint.plan.quantity import khz, khz_number, mhz

_LAST = "This says what was searched and found, no more."
_SHOWN = 12


def _dump(document: dict[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def spares_text(facts: Facts, found: Ladder) -> str:
    """Return spares as text, in the order to use them."""
    asked = "as many as fit" if found.asked is None else str(found.asked)
    lines = [f"{facts.plan.file} · spares for {found.kind} · asked: {asked}, found: {len(found.spares)}", ""]
    who = {one.links for one in found.spares}
    for index, one in enumerate(found.spares, 1):
        margin = "nothing near" if one.margin_hz is None else f"{khz(one.margin_hz)} kHz past the nearest limit"
        links = f"; {', '.join(one.links)} can tune it" if len(who) > 1 else ""
        lines.append(f"  {index:>3}  {mhz(one.carrier_hz)}  {margin}{links}")
    if len(who) == 1 and (links_of_all := next(iter(who))):
        lines.append(f"  All can be tuned by {', '.join(links_of_all)}.")
    lines += _how_many(found)
    lines += [f"Taken for granted: {text}" for text in dict.fromkeys(found.assumed)]
    if found.spares:
        lines.append("All of them could be on at once beside the live set. Walk them with a pack before the show.")
    return harmless_lines([*lines, _LAST])


def _how_many(found: Ladder) -> Iterator[str]:
    number, asked = len(found.spares), found.asked
    yield f"Carriers that can be tuned and are allowed: {found.candidates}; clear of who is on: {found.free}."
    if asked is None or number < asked:
        if number == found.at_most:
            yield f"More than {number} do not fit: proven for these carriers, who is on and these limits."
        else:
            yield f"No more than {found.at_most} can fit; between {number} and that, it is not proven either way."
    if found.spares and found.widest:
        yield f"No other choice of {number} has a larger worst margin: proven to within 1 kHz."
    if found.interrupted:
        yield "Interrupted: this is the best so far."
    elif found.out_of_time:
        yield "The time ended the search: this is the best so far; --seconds gives it more."


def spares_json(facts: Facts, found: Ladder) -> str:
    """Return spares as JSON (schemas/spares.schema.json)."""
    return _dump(
        {
            "format": 1,
            "plan": facts.plan.file,
            "kind": found.kind,
            "asked": found.asked,
            "carriers": [
                {
                    "carrier_hz": one.carrier_hz,
                    "margin_khz": None if one.margin_hz is None else khz_number(one.margin_hz),
                    "links": list(one.links),
                }
                for one in found.spares
            ],
            "candidates": found.candidates,
            "free": found.free,
            "at_most": found.at_most,
            "widest_proven": found.widest,
            "assumed": list(dict.fromkeys(found.assumed)),
            "out_of_time": found.out_of_time,
            "interrupted": found.interrupted,
        }
    )


def why_text(facts: Facts, found: list[Look]) -> str:
    """Return why a carrier passes or does not, link by link."""
    lines = [f"{facts.plan.file} · {mhz(found[0].carrier_hz) if found else ''}"]
    for one in found:
        lines += ["", *(_look(facts, one) if len(found) == 1 else [_short(one)])]
    return harmless_lines([*lines, "", _LAST])


def _short(one: Look) -> str:
    against = [reason.why for reason in one.reasons] + [clash.text for clash in one.clashes]
    against += [named.text for named, _ in one.relations]
    more = f" and {len(against) - 1} more" if len(against) > 1 else ""
    return f"  {one.link}: {against[0] + more if against else 'nothing found against it'}"


def _look(facts: Facts, one: Look) -> Iterator[str]:
    yield f"  {one.link} on {mhz(one.carrier_hz)}: " + ("nothing found against it." if one.passes else "does not pass.")
    yield from (f"    {reason.rule}: {reason.why}" for reason in one.reasons)
    yield from (f"    {clash.rule}: {clash.text}, limit {khz(clash.limit_hz)}" for clash in one.clashes)
    for named, estimate in one.relations[:_SHOWN]:
        assumed = " (assumed in part)" if estimate.assumed else ""
        yield (
            f"    {named.text}: {named.offset_khz} kHz off, limit {khz(named.limit_hz)}; estimated C/I "
            f"{estimate.ci_db:.0f} dB at {estimate.victim}{assumed}"
        )
    if len(one.relations) > _SHOWN:
        yield f"    and {len(one.relations) - _SHOWN} more relations"
    if one.floor_dbm is not None:
        yield f"    floor {one.floor_dbm:.1f} dBm in 200 kHz"
    if one.margin_hz is not None:
        where = "past" if one.margin_hz >= 0 else "within"
        yield f"    nearest pair or relation: {khz(abs(one.margin_hz))} kHz {where} its limit"
    below = mhz(one.below_hz) if one.below_hz is not None else "none"
    above = mhz(one.above_hz) if one.above_hz is not None else "none"
    yield f"    nearest that pass: below {below}, above {above}"
    if facts.plan.region is None:
        yield "    law not checked: write show.region"
    if facts.live_channels is None:
        yield "    TV not checked: write spectrum.tv_occupied"


def why_json(facts: Facts, found: list[Look]) -> str:
    """Return the same as JSON."""
    return _dump({"format": 1, "plan": facts.plan.file, "links": [_look_json(one) for one in found]})


def _look_json(one: Look) -> dict[str, Any]:
    return {
        "link": one.link,
        "carrier_hz": one.carrier_hz,
        "passes": one.passes,
        "reasons": [{"rule": reason.rule, "why": reason.why} for reason in one.reasons],
        "clashes": [
            {"rule": clash.rule, "ids": list(clash.ids), "offset_khz": khz_number(clash.offset_hz), "limit_khz": khz_number(clash.limit_hz)}
            for clash in one.clashes
        ],
        "relations": [
            {
                "relation": named.text,
                "offset_khz": named.offset_khz,
                "limit_khz": khz_number(named.limit_hz),
                "ci_db": round(estimate.ci_db, 1),
                "victim": estimate.victim,
                "assumed": list(estimate.assumed),
            }
            for named, estimate in one.relations
        ],
        "margin_khz": None if one.margin_hz is None else khz_number(one.margin_hz),
        "floor_dbm": one.floor_dbm,
        "below_hz": one.below_hz,
        "above_hz": one.above_hz,
    }  # fmt: skip


def what_if_text(facts: Facts, found: Change) -> str:
    """Return what changes as text."""
    lines = [f"{facts.plan.file} · what if; nothing is written", "", f"New: {len(found.new)}"]
    lines += [f"  {one.severity} {one.rule}: {one.message}" for one in found.new]
    lines += ["", f"Gone: {len(found.gone)}"]
    lines += [f"  {one.severity} {one.rule}: {', '.join(one.subjects)}" for one in found.gone]
    return harmless_lines([*lines, "", _LAST])


def what_if_json(facts: Facts, found: Change) -> str:
    """Return the same as JSON."""
    return _dump({"format": 1, "plan": facts.plan.file, "new": _findings(found.new), "gone": _findings(found.gone)})


def _findings(found: tuple[Finding, ...]) -> list[dict[str, Any]]:
    return [
        {"rule": one.rule, "severity": one.severity, "subjects": list(one.subjects), "message": one.message}
        for one in found
    ]


def move_text(facts: Facts, way: Way) -> str:
    """Return where a link goes, with the steps in order."""
    old = mhz(way.old_hz) if way.old_hz is not None else "no carrier"
    kind = "a written spare" if way.spare else "no written spare passes: the free carrier with the widest margin"
    lines = [f"{facts.plan.file} · {way.link}  {old} -> {mhz(way.carrier_hz)} ({kind})"]
    lines += [f"  passed over: {mhz(carrier)}, {why}" for carrier, why in way.passed_over]
    if way.margin_hz is not None:
        lines.append(f"  {khz(way.margin_hz)} kHz past the nearest limit")
    lines += ["", "In this order:", *(f"  {index}. {step}" for index, step in enumerate(_steps(facts, way), 1))]
    minutes = rate(facts.plan).min_per_unit * len(way.touches)
    lines += [
        "",
        f"{len(way.touches)} touches, about {minutes:g} min for one person. Then write it into the plan.",
        _LAST,
    ]
    return harmless_lines(lines)


def _steps(facts: Facts, way: Way) -> Iterator[str]:
    link = facts.plan.links[way.link]
    packs = {pack.id for pack in link.packs}
    to = mhz(way.carrier_hz)
    if link.kind == "ear":
        yield "Tell whoever listens: ears out. Every pack of the link to minimum volume before the transmitter moves."
    yield from (
        f"{_where(touch)}: set {to}, volume still at minimum"
        for touch in way.touches
        if touch.unit in packs and not touch.entry
    )
    rest = [touch for touch in way.touches if touch.unit not in packs and not touch.entry]
    yield from (f"{_where(touch)}: set {to}" for touch in sorted(rest, key=lambda touch: touch.unit != link.rx))
    yield from (
        f"{_where(touch)}: change the list entry of {touch.entry} to {to}" for touch in way.touches if touch.entry
    )
    if link.kind == "ear":
        yield "Listen on a spare pack first, at minimum; then ears in, and raise slowly."
    else:
        yield "Keep it muted at the desk until its receiver shows it; then listen."


def _where(touch: Touch) -> str:
    return touch.unit if touch.where.id == touch.unit else f"{touch.unit} ({touch.where.kind} {touch.where.id})"


def move_json(facts: Facts, way: Way) -> str:
    """Return the same as JSON."""
    return _dump(
        {
            "format": 1,
            "plan": facts.plan.file,
            "link": way.link,
            "old_hz": way.old_hz,
            "carrier_hz": way.carrier_hz,
            "spare": way.spare,
            "margin_khz": None if way.margin_hz is None else khz_number(way.margin_hz),
            "passed_over": [{"carrier_hz": carrier, "why": why} for carrier, why in way.passed_over],
            "touch": [{"unit": touch.unit, "entry": touch.entry} for touch in way.touches],
            "steps": list(_steps(facts, way)),
        }
    )
