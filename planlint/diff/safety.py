"""What may hurt: every change that can make an ear louder or an antenna stronger, with its number and a yardstick.

The yardsticks are published ones and say how a time or a level changes; none of them is a judgement of anybody's
hearing, exposure or licence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from planlint.diff.change import Consequence
from planlint.diff.origin import Notice, links_of, places
from planlint.diff.state import State
from planlint.document.nodes import escape
from planlint.facts.packs import stood_in_for
from planlint.finding import Severity
from planlint.plan.model import Link, Plan
from planlint.rf.hearing import UNCERTAINTY_DB, allowed_time, ceiling_db_spl, earphone_level_db_spl

#: Above this, other earphones at the same setting are a warning; the catalogue's own figure, common practice.
_EARPHONES_ASK_DB = 3.0
_EXCHANGE_DB = 3.0  # NIOSH 98-126: 3 dB more halve the time


def safety(old: Plan, new: Plan, before: State, after: State) -> Iterator[Notice]:
    """Yield what got louder or stronger, and what got less so, worst kinds first.

    Args:
        old: the old plan, its ids renamed to those of the new one.
        new: the new plan.
        before: what the units held.
        after: what they must hold.
    """
    for unit in sorted(after):
        yield from _limiter(old, new, unit, before, after)
    for unit in sorted(after):
        yield from _gain(new, unit, before, after)
    yield from _earphones(old, new)
    for unit in sorted(after):
        yield from _feed(new, unit, before, after)
        yield from _volume(new, unit, before, after)
    for unit in sorted(after):
        yield from _power(new, unit, before, after)


def wearer(plan: Plan, unit: str) -> str | None:
    """Return who hears through a pack or sings into a microphone; of a spare pack, whom it would serve."""
    for link in links_of(plan, unit):
        for pack in link.packs:
            if pack.id == unit:
                main = pack if pack.person else stood_in_for(plan, link, pack)
                return main.person if main else None
        if link.kind == "mic" and unit in {link.tx, link.rx, link.id}:
            return link.person
    return None


def number(value: Any) -> float | None:
    """Return a plain number, or None for anything else."""
    return float(value) if isinstance(value, int | Decimal) and not isinstance(value, bool) else None


def _who(plan: Plan, unit: str) -> str:
    person = wearer(plan, unit)
    return f"{unit} ({person})" if person else unit


def _notice(plan: Plan, unit: str, field: str, consequence: Consequence) -> Notice:
    return Notice(places(plan, unit, field), consequence)


def _limiter(old: Plan, new: Plan, unit: str, before: State, after: State) -> Iterator[Notice]:
    was, now = before.get(unit, {}).get("limiter_db"), after[unit].get("limiter_db")
    if was is None or was == now:
        return
    tell = wearer(new, unit) or "whoever wears it"
    first, last = number(was), number(now)
    if last is None:
        if now is None and not any(pack.id == unit for link in new.links.values() for pack in link.packs):
            return
        words = "limiter off" if now == "none" else "limiter no longer written"
        message = (
            f"{_who(new, unit)}: {words}, it was {was} dB. Nothing caps a burst. Tell {tell} before the first note."
        )
        yield _notice(
            new, unit, "limiter_db", Consequence("limiter-raised", "warning", message, (unit,), {}, worse=True)
        )
        return
    step = last - first if first is not None else -math.inf
    if step > 0:
        factor = 2 ** (step / _EXCHANGE_DB)
        message = (
            f"{_who(new, unit)}: limiter {was} → {now} dB, {step:g} dB up: time at the ceiling falls {factor:.3g}-fold "
            f"(NIOSH 98-126, 3 dB halve it).{_ceiling(old, new, unit, first, last)} Tell {tell} before the first note."
        )
        values = {"step_db": step, "time_factor": round(factor, 2)}
        found = Consequence("limiter-raised", "warning", message, (unit,), values, worse=True)
    else:
        fall = f", {-step:g} dB down" if step > -math.inf else ""
        message = f"{_who(new, unit)}: limiter {was} → {now} dB{fall}. Tell {tell}: the mix will be held lower."
        found = Consequence("limiter-lowered", "note", message, (unit,))
    yield _notice(new, unit, "limiter_db", found)


def _ceiling(old: Plan, new: Plan, unit: str, was: float | None, now: float) -> str:
    levels = [_ceiling_of(plan, unit, limiter) for plan, limiter in ((old, was), (new, now))]
    if levels[0] is None or levels[1] is None:
        return ""
    times = [_time(allowed_time(level, "niosh").time_h) for level in levels if level is not None]
    return (
        f" Ceiling about {levels[0]:.0f} → {levels[1]:.0f} dB SPL (±{UNCERTAINTY_DB:g}, estimate): "
        f"NIOSH 98-126 counts {times[0]} → {times[1]} a day at that level."
    )


def _ceiling_of(plan: Plan, unit: str, limiter: float | None) -> float | None:
    device, person = plan.devices.get(unit), wearer(plan, unit)
    spec = device.model.spec if device and device.model else {}
    phones = _phones(plan, person) if person else None
    most = number(spec.get("max_output_dbv"))
    if limiter is None or phones is None or most is None or spec.get("limiter_ref") != "max_output":
        return None
    return ceiling_db_spl(most, limiter, *phones)


def _time(hours: float) -> str:
    if hours >= 1:
        return f"{hours:.1f} h"
    return f"{hours * 60:.0f} min" if hours >= 1 / 60 else f"{hours * 3600:.0f} s"


def _gain(new: Plan, unit: str, before: State, after: State) -> Iterator[Notice]:
    for field, words in (("gain_db", "pack gain"), ("input_gain_db", "input gain")):
        was, now = number(before.get(unit, {}).get(field)), number(after[unit].get(field))
        if was is None or now is None or was == now:
            continue
        step = now - was
        up = step > 0
        says = "Packs down before it is entered." if up else "Expect it quieter."
        message = f"{_who(new, unit)}: {words} {was:g} → {now:g} dB, {abs(step):g} dB {'up' if up else 'down'}. {says}"
        severity: Severity = "warning" if up else "note"
        id_ = "gain-raised" if up else "gain-lowered"
        yield _notice(new, unit, field, Consequence(id_, severity, message, (unit,), {"step_db": step}, worse=up))


def _phones(plan: Plan, person: str) -> tuple[float, float] | None:
    """Return impedance in ohm and sensitivity in dB SPL for 1 mW of somebody's earphones."""
    spec = plan.section("people").get(person)
    kind = plan.section("earphones").get(spec.get("ears", "")) if isinstance(spec, dict) else None
    if not isinstance(kind, dict):
        return None
    ohm, level = number(kind.get("impedance_ohm")), number(kind.get("sensitivity_db_spl_per_mw"))
    return (ohm, level) if ohm and level is not None else None


def _earphones(old: Plan, new: Plan) -> Iterator[Notice]:
    for person, spec in sorted(new.section("people").items()):
        first, last = _phones(old, person), _phones(new, person)
        if first is None or last is None:
            continue
        step = earphone_level_db_spl(0.0, *last) - earphone_level_db_spl(0.0, *first)
        if round(step, 1) == 0:
            continue
        packs = tuple(sorted(pack.id for link in new.links.values() for pack in link.packs if pack.person == person))
        up = step > 0
        says = "Start low." if up else "Expect the same knob to be quieter."
        message = f"{person}: these earphones are {abs(step):.1f} dB {'louder' if up else 'quieter'} at the same setting. {says}"
        severity: Severity = "warning" if step > _EARPHONES_ASK_DB else "note"
        found = Consequence("earphone-swap", severity, message, packs, {"step_db": round(step, 1)}, worse=up)
        at = (f"/people/{escape(person)}/ears", f"/earphones/{escape(str(spec.get('ears', '')))}")
        yield Notice(at, found)


def _feed(new: Plan, unit: str, before: State, after: State) -> Iterator[Notice]:
    was, now = before.get(unit, {}).get("ear_feed"), after[unit].get("ear_feed")
    if was == "stereo" and now == "mono":
        message = (
            f"{_who(new, unit)}: ear feed stereo → mono: both sides are summed, 3 dB louder where they differ, up to "
            "6 dB where they are alike. Start low."
        )
        values = {"step_db_least": 3, "step_db_most": 6}
        found = Consequence("sum-level-jump", "warning", message, (unit,), values, worse=True)
        yield _notice(new, unit, "ear_feed", found)


def _volume(new: Plan, unit: str, before: State, after: State) -> Iterator[Notice]:
    was, now = before.get(unit, {}).get("volume"), after[unit].get("volume")
    if was == "free" and now == "fixed":
        tell = wearer(new, unit) or "whoever wears it"
        message = f"{_who(new, unit)}: volume is fixed now: {tell} cannot turn down a burst. Say so, and keep a hand on the mute."
        yield _notice(new, unit, "volume", Consequence("volume-fixed", "warning", message, (unit,), {}, worse=True))


def _power(new: Plan, unit: str, before: State, after: State) -> Iterator[Notice]:
    was, now = number(before.get(unit, {}).get("power_mw")), number(after[unit].get("power_mw"))
    if not was or not now or was == now:
        return
    step = 10 * math.log10(now / was)
    up = step > 0
    words = f"{unit}: power {was:g} → {now:g} mW, {abs(step):.1f} dB {'up' if up else 'down'}"
    if up:
        limit = "; ".join(dict.fromkeys(_limit(new, link) for link in links_of(new, unit)))
        message = f"{words}. {limit}. Farther from bodies, not nearer."
        values = {"power_mw": now, "step_db": round(step, 1)}
        found = Consequence("power-raised", "warning", message, (unit,), values, worse=True)
    else:
        found = Consequence("power-lowered", "note", f"{words}: less range", (unit,))
    yield _notice(new, unit, "power_mw", found)


def _limit(plan: Plan, link: Link) -> str:
    """Return the region's row that a link's carrier is in, as the yardstick of a power."""
    carrier, region = link.carrier_hz, plan.region
    rows = [row for row in region.rows if row.low_hz <= carrier <= row.high_hz] if region and carrier else []
    said = [f"{row.id} {row.power_mw:g} mW {row.power_basis or ''}".rstrip() for row in rows if row.power_mw]
    if region is None or not said:
        return "No limit is known to set it against"
    return f"Limits of region {region.id} there: {', '.join(said)}"


__all__ = ["number", "safety", "wearer"]
