"""Why a carrier passes or does not, for people and programs: the whole sum."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planlint.assign.around import Around, Channel, Neighbour
from planlint.assign.ask import Look
from planlint.facts import Facts
from planlint.output.answer import LAST, dump, neighbour_object
from planlint.output.levels import harmless_lines
from planlint.plan.quantity import khz, khz_number, mhz

_SHOWN = 12


def as_text(facts: Facts, found: list[Look]) -> str:
    """Return it link by link: of one link everything, of several a line each."""
    lines = [f"{facts.plan.file} · {mhz(found[0].carrier_hz)}", ""]
    if len(found) > 1:
        lines += [_short(one) for one in found]
        lines += ["", "One link in full: --link ID."]
    else:
        lines += _whole(facts, found[0])
    return harmless_lines([*lines, "", LAST])


def _short(one: Look) -> str:
    against = [reason.why for reason in one.reasons] + [_clash(clash.text, clash.limit_hz) for clash in one.clashes]
    against += [f"{named.text}, {named.offset_khz} kHz off" for named, _ in one.relations]
    more = f" and {len(against) - 1} more" if len(against) > 1 else ""
    margin = "" if one.margin_hz is None else f", {khz(one.margin_hz)} kHz past the nearest limit"
    return f"  {one.link}: {against[0] + more if against else f'nothing found against it{margin}'}"


def _clash(text: str, limit_hz: int) -> str:
    return f"{text}, limit {khz(limit_hz)}"


def _whole(facts: Facts, one: Look) -> Iterator[str]:
    yield f"  {one.link} on {mhz(one.carrier_hz)}: " + ("nothing found against it." if one.passes else "does not pass.")
    if one.with_it:
        yield f"  It shares one emission with {', '.join(one.with_it)}; they move together."
    for title, lines in (
        ("against", _against(one)),
        ("units", _units(one.around)),
        ("law", _law(facts, one.around)),
        ("TV", _television(one.around)),
        ("floor", _floor(facts, one.around)),
        ("neighbours", map(_neighbour, one.around.neighbours)),
        ("relations", _relations(one)),
        ("margin", _margin(one)),
        ("pass", _pass(one)),
    ):
        for index, line in enumerate(lines):
            yield f"    {'' if index else title:<11} {line}"


def _against(one: Look) -> Iterator[str]:
    yield from (f"{reason.rule}: {reason.why}" for reason in one.reasons)
    yield from (f"{clash.rule}: {_clash(clash.text, clash.limit_hz)}" for clash in one.clashes)
    if one.relations:
        yield f"{len(one.relations)} intermodulation relation{'s' if len(one.relations) > 1 else ''}, below"


def _units(around: Around) -> Iterator[str]:
    for word, tunes in (("tune it", True), ("do not tune it", False), ("ranges not written", None)):
        units = [one.unit for one in around.units if one.tunes is tunes]
        if units:
            yield f"{word}: {', '.join(units)}"
    if not around.units:
        yield "not checked: the link's ends are not written"


def _law(facts: Facts, around: Around) -> Iterator[str]:
    region = facts.plan.region
    if region is None or around.rows is None:
        yield "not checked: write show.region"
        return
    for row in around.rows:
        classes = ", ".join(row.classes)
        yield f"region {region.id}: in {mhz(row.low_hz)}-{mhz(row.high_hz)} ({classes}); source: {row.status}"
    if not around.rows:
        yield f"region {region.id}: in no band"
    yield f"the emission reaches from {mhz(around.low_hz)} to {mhz(around.high_hz)}"


def _television(around: Around) -> Iterator[str]:
    if around.channels is None:
        yield "not checked: write spectrum.tv_occupied"
        return
    words = [_channel(one) for one in around.channels] or ["none live"]
    yield f"live: {'; '.join(words)}; guard {khz(around.guard_hz)} kHz from the emission's edge"


def _channel(one: Channel) -> str:
    return f"{one.number} on it" if one.side == "on it" else f"{one.number}, {khz(one.gap_hz)} kHz {one.side}"


def _floor(facts: Facts, around: Around) -> Iterator[str]:
    floor = around.floor
    if floor is None:
        yield "not checked: " + ("no scan saw it" if facts.scans.all else "no scan is written")
    else:
        yield f"{floor.dbm:.1f} dBm in 200 kHz (scan {floor.scan}); usable up to {floor.usable_dbm:g}"


def _neighbour(one: Neighbour) -> str:
    where = "on the same carrier" if one.side == "on it" else f"{khz(one.gap_hz)} kHz {one.side}"
    return f"{one.id} {mhz(one.carrier_hz)}, {where}, limit {khz(one.limit_hz)}"


def _relations(one: Look) -> Iterator[str]:
    for named, estimate in one.relations[:_SHOWN]:
        assumed = f", assumed in part: {'; '.join(estimate.assumed)}" if estimate.assumed else ""
        yield (
            f"{named.text}: {named.offset_khz} kHz off, limit {khz(named.limit_hz)}; estimated C/I "
            f"{estimate.ci_db:.0f} dB at {estimate.victim}{assumed}"
        )
    if len(one.relations) > _SHOWN:
        yield f"and {len(one.relations) - _SHOWN} more"
    if not one.relations:
        yield "none within its limit"


def _margin(one: Look) -> Iterator[str]:
    if one.margin_hz is None or one.nearest is None:
        yield "nothing near that has a limit"
    else:
        where = "past" if one.margin_hz >= 0 else "within"
        near = one.nearest
        apart = "" if near.text.endswith("kHz apart") else f", {khz(near.offset_hz)} kHz off"
        yield f"{khz(abs(one.margin_hz))} kHz {where} the limit of {khz(near.limit_hz)}: {near.text}{apart}"


def _pass(one: Look) -> Iterator[str]:
    below = mhz(one.below_hz) if one.below_hz is not None else "none"
    above = mhz(one.above_hz) if one.above_hz is not None else "none"
    yield f"nearest below {below}, above {above}, with everybody else where they are"


def as_json(facts: Facts, found: list[Look]) -> str:
    """Return the same as JSON (schemas/why.schema.json)."""
    return dump({"format": 1, "plan": facts.plan.file, "links": [_look_json(one) for one in found]})


def _look_json(one: Look) -> dict[str, Any]:
    near = one.nearest
    return {
        "link": one.link,
        "carrier_hz": one.carrier_hz,
        "passes": one.passes,
        "moves_with": list(one.with_it),
        "reasons": [{"rule": reason.rule, "why": reason.why} for reason in one.reasons],
        "clashes": [
            {
                "rule": clash.rule,
                "ids": list(clash.ids),
                "offset_khz": khz_number(clash.offset_hz),
                "limit_khz": khz_number(clash.limit_hz),
            }
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
        **_around_json(one.around),
        "margin_khz": None if one.margin_hz is None else khz_number(one.margin_hz),
        "nearest": None
        if near is None
        else {
            "text": near.text,
            "ids": list(near.ids),
            "offset_khz": khz_number(near.offset_hz),
            "limit_khz": khz_number(near.limit_hz),
        },
        "below_hz": one.below_hz,
        "above_hz": one.above_hz,
    }


def _around_json(around: Around) -> dict[str, Any]:
    return {
        "emission_hz": {"low": around.low_hz, "high": around.high_hz},
        "units": [{"unit": one.unit, "tunes": one.tunes} for one in around.units],
        "law": None
        if around.rows is None
        else [
            {"low_hz": row.low_hz, "high_hz": row.high_hz, "classes": list(row.classes), "status": row.status}
            for row in around.rows
        ],
        "tv": None
        if around.channels is None
        else [{"channel": one.number, "side": one.side, "gap_khz": khz_number(one.gap_hz)} for one in around.channels],
        "tv_guard_khz": khz_number(around.guard_hz),
        "floor": None
        if around.floor is None
        else {
            "dbm": round(around.floor.dbm, 1),
            "scan": around.floor.scan,
            "usable_dbm": around.floor.usable_dbm,
        },
        "neighbours": [neighbour_object(one) for one in around.neighbours],
    }
