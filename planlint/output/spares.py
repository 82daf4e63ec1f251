"""Spares for people and programs."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.assign.spares import Ladder
from planlint.facts import Facts
from planlint.finding import Finding
from planlint.output.answer import LAST, dump, finding_lines, finding_objects
from planlint.output.levels import harmless_lines
from planlint.plan.quantity import khz, khz_number, mhz


def as_text(facts: Facts, found: Ladder, said: tuple[Finding, ...]) -> str:
    """Return spares as text, in the order to use them; `said` is what the rules say of them in the plan."""
    asked = "as many as fit" if found.asked is None else str(found.asked)
    lines = [f"{facts.plan.file} · spares for {found.kind} · asked: {asked}, found: {len(found.spares)}", ""]
    who = {one.links for one in found.spares}
    for index, one in enumerate(found.spares, 1):
        margin = "nothing near" if one.margin_hz is None else f"{khz(one.margin_hz)} kHz past the nearest limit"
        links = f"; {', '.join(one.links)} can tune it" if len(who) > 1 else ""
        lines.append(f"  {index:>3}  {mhz(one.carrier_hz)}  {margin}{links}")
    if len(who) == 1 and (links_of_all := next(iter(who))):
        lines.append(f"  All can be tuned by {', '.join(links_of_all)}.")
    if found.left_out:
        lines.append(f"  Not for {', '.join(found.left_out)}: planlint move LINK finds a carrier for one of them.")
    lines += _how_many(found)
    lines += [f"Taken for granted: {text}" for text in dict.fromkeys(found.assumed)]
    if said:
        lines += ["Written into the plan in place of its own, they would show:", *finding_lines(said)]
    if found.spares:
        more = " and the written spares of other kinds" if found.beside_spares else ""
        lines.append(
            f"All of them could be on at once beside the live set{more}. Walk them with a pack before the show."
        )
    return harmless_lines([*lines, LAST])


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
    elif found.spares:
        yield f"Another choice of {number} with a larger worst margin is not ruled out."
    if found.interrupted:
        yield "Interrupted: this is the best so far."
    elif found.out_of_time:
        yield "The time ended the search: this is the best so far; --seconds gives it more."


def as_json(facts: Facts, found: Ladder, said: tuple[Finding, ...]) -> str:
    """Return spares as JSON (schemas/spares.schema.json)."""
    return dump(
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
            "left_out": list(found.left_out),
            "findings": finding_objects(said),
            "assumed": list(dict.fromkeys(found.assumed)),
            "out_of_time": found.out_of_time,
            "interrupted": found.interrupted,
            "beside_spares": found.beside_spares,
        }
    )
