"""Weak spots for people and programs."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from typing import Any

from planlint.facts import Facts
from planlint.facts.hands import rate
from planlint.facts.reserve import TRIALS
from planlint.facts.weak_spots import Quiet, Saver, WeakSpot, unreckoned, weak_spots
from planlint.output.paint import harmless
from planlint.plan.quantity import mhz

_WIDTH = 100
_DO = {"ears": "hears nothing", "voice": "is not heard", "talk": "cannot talk"}


def as_text(facts: Facts) -> str:
    """Return the weak spots as text, most people quiet first."""
    found = weak_spots(facts)
    per_touch = rate(facts.plan).min_per_unit
    head = (
        f"{facts.plan.file} · {facts.plan.date or 'no date written'}\n"
        "Each part lost in turn, most people quiet first. Spares are what the plan writes, reckoned and not tried:\n"
        "switch each on beside the rest once before doors. Ears out or packs at minimum before any carrier moves."
    )
    blocks = [head]
    blocks += ["\n".join(_spot(spot, per_touch)) for spot in found if len(spot.quiet) > 1]
    single = [line for spot in found if len(spot.quiet) == 1 for line in _single(spot, per_touch)]
    blocks += ["\n".join(["One each:", *single])] if single else []
    loud = [
        _name(spot) + (f" ({', '.join(spot.weaker)} on less)" if spot.weaker else "")
        for spot in found
        if not spot.quiet and not spot.needs
    ]
    if loud:
        blocks.append("\n".join(_wrap(f"Nobody goes quiet without: {', '.join(loud)}.", "")))
    needs = sorted({need for spot in found for need in spot.needs} | set(unreckoned(facts)))
    if needs:
        blocks.append("\n".join(_wrap(f"Not reckoned to the end; write {', '.join(needs)}.", "")))
    cut = [_name(spot) for spot in found if spot.unfinished]
    if cut:
        text = f"Not all ways to hand out the spare carriers were tried (the first {TRIALS} were): {', '.join(cut)}."
        blocks.append("\n".join(_wrap(f"{text} More people may be brought back.", "")))
    if not found:
        blocks.append("Nothing to take away: no unit, antenna or TV channel is written.")
    return "\n\n".join("\n".join(map(harmless, block.split("\n"))) for block in blocks) + "\n"


def _spot(spot: WeakSpot, per_touch: float) -> Iterator[str]:
    lost, stranded = len(spot.lost), len(spot.stranded)
    rest = (
        "nobody is brought back by a spare"
        if stranded == lost
        else f"{stranded} with no spare"
        if stranded
        else "a spare for each"
    )
    yield f"{_name(spot)}: {lost} quiet, {rest}"
    for one in spot.quiet:
        yield from _wrap(f"{one.who} {_DO[one.what]} ({one.link}): {_saved(one, per_touch)}", "  ")
    if spot.card:
        yield from _wrap(f"the plan's card: {spot.card}", "  ")
    if spot.weaker:
        yield from _wrap(f"stays up on less: {', '.join(spot.weaker)}", "  ")


def _single(spot: WeakSpot, per_touch: float) -> Iterator[str]:
    one = spot.quiet[0]
    card = f"; the plan's card: {spot.card}" if spot.card else ""
    less = f" (on less: {', '.join(spot.weaker)})" if spot.weaker else ""
    yield from _wrap(
        f"{_name(spot)}: {one.who} {_DO[one.what]} ({one.link}): {_saved(one, per_touch)}{card}{less}", "  "
    )


def _saved(one: Quiet, per_touch: float) -> str:
    words = "no spare" if one.saver is None else _saver(one.saver, one.link, per_touch)
    return words + (f"; the plan's fallback: {one.fallback}" if one.fallback else "")


def _saver(saver: Saver, link: str, per_touch: float) -> str:
    if saver.kind == "pack":
        return f"spare pack {saver.id}" + (f" on {saver.link}, which has another mix" if saver.link != link else "")
    if saver.kind == "link":
        return f"stand-in {saver.id}"
    return f"spare carrier {mhz(saver.carrier_hz or 0)}, {saver.touches} to enter again, about {saver.touches * per_touch:g} min"


def _name(spot: WeakSpot) -> str:
    return f"TV {spot.loss.id}" if spot.loss.kind == "tv-channel" else f"{spot.loss.kind} {spot.loss.id}"


def _wrap(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


def as_json(facts: Facts) -> str:
    """Return the weak spots as JSON."""
    document = {
        "format": 1,
        "plan": facts.plan.file,
        "weak_spots": [_json(spot) for spot in weak_spots(facts)],
        "needs": list(unreckoned(facts)),
    }
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _json(spot: WeakSpot) -> dict[str, Any]:
    return {
        "kind": spot.loss.kind,
        "id": spot.loss.id,
        "lost": list(spot.lost),
        "stranded": list(spot.stranded),
        "quiet": [_quiet(one) for one in spot.quiet],
        "weaker": list(spot.weaker),
        "needs": list(spot.needs),
        "card": spot.card,
        "unfinished": spot.unfinished,
    }


def _quiet(one: Quiet) -> dict[str, Any]:
    saver = one.saver
    return {
        "who": one.who,
        "person": one.named,
        "what": one.what,
        "link": one.link,
        "unit": one.unit,
        "saved_by": None
        if saver is None
        else {
            "kind": saver.kind,
            "id": saver.id,
            "link": saver.link,
            "carrier_mhz": None if saver.carrier_hz is None else mhz(saver.carrier_hz),
            "touches": saver.touches,
        },
        "fallback": one.fallback,
    }
