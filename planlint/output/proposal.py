"""A proposal for people and programs: the moves with what to touch at both ends, why not fewer, what is left."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planlint.assign.clash import Clash
from planlint.assign.proposal import Move, Proposal
from planlint.diff.result import Difference
from planlint.engine.propose import SPARE_RULES, Answer, Opened
from planlint.facts.hands import rate
from planlint.finding import Touch
from planlint.output import diff_json, diff_text
from planlint.output.answer import LAST, dump, finding_objects
from planlint.output.levels import harmless_lines
from planlint.output.paint import Paint
from planlint.plan.quantity import khz, khz_number, mhz

_SHOWN = 6


def as_text(opened: Opened, answer: Answer, difference: Difference | None, *, written: str | None) -> str:
    """Return a proposal as text.

    Args:
        opened: the plan.
        answer: the proposal and what the rules say of it.
        difference: what it changes; None where nothing moves, or the file cannot be edited.
        written: the file it was written into, if it was.
    """
    found = answer.proposal
    plan = opened.facts.plan
    lines = [f"{plan.file} · {plan.date or 'no date written'}", ""]
    if found.unfit:
        lines += _nothing_fits(found)
    elif not found.moves:
        lines += ["No link that may move needs another carrier: nothing to propose."]
    else:
        lines += _moves(opened, found, briefly=difference is not None)
    lines += _after(answer)
    if difference is not None:
        lines += ["", *_sheet(difference)]
    if written:
        lines += ["", f"Written into {written}. Enter it on the units too: packs at minimum or ears out first."]
        if written != plan.file:
            lines += ["Whatever else uses that file takes the carriers from there too."]
    elif difference is not None:
        lines += ["", "Nothing was written: --write enters the carriers into the file, comments kept."]
    elif found.moves:
        lines += ["", "Nothing was written, and this file has no place for the carriers as it is laid out."]
    lines += [LAST]
    return harmless_lines(lines)


def _sheet(difference: Difference) -> list[str]:
    """Return the parts of a printed difference: the work list first."""
    lines = diff_text.render(difference, Paint(on=False)).rstrip("\n").splitlines()
    return lines[lines.index("") + 1 : -1 - lines[::-1].index("")]


def _moves(opened: Opened, found: Proposal, *, briefly: bool) -> Iterator[str]:
    minutes = rate(opened.facts.plan).min_per_unit * found.weight
    kept = sum(1 for link in opened.facts.plan.links.values() if link.used) - len(found.moves)
    yield f"{len(found.moves)} to move, {kept} stay; {_touches(found.weight)}, about {minutes:g} min for one person."
    yield "Ears out or packs at minimum before any carrier moves."
    for move in found.moves:
        old = "no carrier" if move.old_hz is None else mhz(move.old_hz)
        if not briefly:
            yield ""
        yield f"  {move.link}  {old} -> {mhz(move.new_hz)}"
        yield from (f"      why: {why}" for why in move.why[:3])
        if not briefly:
            yield from (f"      [ ] {_touch(touch)}" for touch in move.touches)
        for group, number in move.stored:
            yield (
                f"      recall: {group} channel {number}"
                if number
                else f"      {group} does not hold it: enter it by hand"
            )
    yield ""
    yield from _how_good(found)


def _how_good(found: Proposal) -> Iterator[str]:
    if found.margin_hz is not None and found.margin_hz < 10**11:
        among = "the largest of all repairs as small" if found.margin_proven else "the largest found"
        yield f"Worst margin past a limit: {khz(found.margin_hz)} kHz, {among}."
    if found.more is not None:
        more = found.more
        yield f"Moving {more.link} too ({_touches(more.touches)} in all) makes it {khz(more.margin_hz)} kHz or more."
    if found.proven:
        yield f"Fewer than {_touches(found.weight)} cannot do, because"
    else:
        yield f"Not proven to be the fewest: at least {_touches(found.bound)}, this takes {found.weight}. For"
    for ground in found.grounds[:_SHOWN]:
        names = ", ".join(ground.one_of)
        must = "must move" if len(ground.one_of) == 1 else "must move, one of them at least"
        if ground.why == "no carrier yet" or " " not in ground.why:
            must = "must move"
        yield f"  {names} {must}: {ground.why}"
    if len(found.grounds) > _SHOWN:
        yield f"  and {len(found.grounds) - _SHOWN} more reasons"


def _nothing_fits(found: Proposal) -> Iterator[str]:
    if found.out_of_time:
        yield "No carriers were found in the time there was, and it is not proven that there are none. Nothing is proposed."
    else:
        yield "Nothing fits: there are no carriers for all of these together. Nothing is proposed."
    yield f"  {', '.join(found.unfit)}"
    for name, lost in found.no_carrier:
        closed = ", ".join(f"{rule} {count}" for rule, count in lost)
        yield (
            f"  {name}: every carrier its units tune is closed: {closed}"
            if lost
            else (f"  {name}: there is no carrier that all its units can stand on")
        )
    if found.without:
        yield f"  With {', '.join(found.without)} off, a place was found for all others."
    for one in found.give_up[:_SHOWN]:
        yield f"  It fits if {one.what} gives: now {one.now}, then {one.then}."
    if found.give_up_cut:
        yield "  There was no time to try every house limit: ask again with more --seconds."
    elif not found.give_up:
        yield "  No house limit alone, given up, makes it fit: use fewer links, or units that tune elsewhere."


def _after(answer: Answer) -> Iterator[str]:
    found = answer.proposal
    if found.out_of_time and not found.unfit:
        yield "The search was stopped before its end: more time may find better."
    if found.left or found.left_alone:
        yield ""
        yield "Left, since whoever is concerned is pinned or not ours:"
        yield from (f"  {clash.text} ({clash.rule})" for clash in found.left)
        for name, reasons in found.left_alone:
            yield f"  {name}: {'; '.join(reason.why for reason in reasons)}"
    for finding in answer.brings:
        yield f"The rules say of it: {finding.severity} {finding.rule}: {finding.message}"
    for finding in answer.besides:
        yield f"{'Spares' if finding.rule in SPARE_RULES else 'Time'}: {finding.message}"
    for text in found.assumed:
        yield f"Taken for granted: {text}"


def _touches(count: int) -> str:
    return "1 touch" if count == 1 else f"{count} touches"


def _touch(touch: Touch) -> str:
    where = "" if touch.where.id == touch.unit else f" ({touch.where.kind} {touch.where.id})"
    return f"{touch.unit}: list entry {touch.entry}{where}" if touch.entry else f"{touch.unit}{where}"


def as_json(opened: Opened, answer: Answer, difference: Difference | None, *, written: str | None) -> str:
    """Return a proposal as JSON (schemas/assign.schema.json)."""
    found = answer.proposal
    document = {
        "format": 1,
        "plan": opened.facts.plan.file,
        "moves": [_move(move) for move in found.moves],
        "touches": found.weight,
        "touches_at_least": found.bound,
        "proven": found.proven,
        "margin_khz": _margin(found.margin_hz),
        "margin_proven": found.margin_proven,
        "more": found.more
        and {"link": found.more.link, "touches": found.more.touches, "margin_khz": _margin(found.more.margin_hz)},
        "grounds": [{"one_of": list(ground.one_of), "why": ground.why} for ground in found.grounds],
        "unfit": list(found.unfit),
        "no_carrier": {name: dict(lost) for name, lost in found.no_carrier},
        "without": list(found.without),
        "give_up": [one._asdict() for one in found.give_up],
        "left": [_clash(clash) for clash in found.left],
        "left_alone": {name: [reason.rule for reason in reasons] for name, reasons in found.left_alone},
        "brings": finding_objects(answer.brings),
        "besides": finding_objects(answer.besides),
        "assumed": list(found.assumed),
        "out_of_time": found.out_of_time,
        "diff": difference and diff_json.document_of(difference),
        "written": written,
    }
    return dump(document)


def _margin(margin_hz: int | None) -> int | float | None:
    return None if margin_hz is None or margin_hz >= 10**11 else khz_number(margin_hz)


def _move(move: Move) -> dict[str, Any]:
    return {
        "link": move.link,
        "old_hz": move.old_hz,
        "new_hz": move.new_hz,
        "why": list(move.why),
        "touch": [{"unit": touch.unit, "entry": touch.entry} for touch in move.touches],
        "stored": dict(move.stored),
    }


def _clash(clash: Clash) -> dict[str, Any]:
    return {
        "rule": clash.rule,
        "ids": list(clash.ids),
        "offset_khz": khz_number(clash.offset_hz),
        "limit_khz": khz_number(clash.limit_hz),
    }
