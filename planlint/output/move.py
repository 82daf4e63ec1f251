"""Where a dying link goes, for people and programs: the carrier and the steps in order."""

from __future__ import annotations

from collections.abc import Iterator

from planlint.assign.ask import NoWay, Way
from planlint.engine.moving import Checked
from planlint.facts import Facts
from planlint.facts.hands import rate
from planlint.finding import Touch
from planlint.output.answer import LAST, dump, finding_lines, finding_objects
from planlint.output.levels import harmless_lines
from planlint.plan.quantity import khz, khz_number, mhz


def as_text(facts: Facts, found: Checked) -> str:
    """Return where a link goes, with the steps in order."""
    way = found.way
    old = mhz(way.old_hz) if way.old_hz is not None else "no carrier"
    none = "no written spare passes" if way.passed_over else "no spare is written for it"
    kind = "a written spare" if way.spare else f"{none}: the free carrier with the widest margin"
    lines = [f"{facts.plan.file} · {way.link}  {old} -> {mhz(way.carrier_hz)} ({kind})"]
    if way.with_it:
        lines.append(f"  it shares one emission with {', '.join(way.with_it)}; they move together")
    lines += [f"  passed over: {mhz(carrier)}, {why}" for carrier, why in way.passed_over]
    if way.margin_hz is not None:
        lines.append(f"  {khz(way.margin_hz)} kHz past the nearest limit, with everybody else where they are")
    lines += [f"  mind: {note}" for note in way.notes]
    if found.brings:
        lines += ["  every way out brings a finding; this one:", *(f"  {line}" for line in finding_lines(found.brings))]
    if found.spares:
        lines += ["  spares that are no longer clear then:", *(f"  {line}" for line in finding_lines(found.spares))]
    lines += ["", "In this order:", *(f"  {index}. {step}" for index, step in enumerate(steps(facts, way), 1))]
    count = f"{len(way.touches)} touch{'' if len(way.touches) == 1 else 'es'}"
    lines += [
        "",
        f"{count}, about {minutes(facts, way):g} min for one person. Then write it into the plan and check it.",
        LAST,
    ]
    return harmless_lines(lines)


def none_text(link: str, why: NoWay) -> str:
    """Return in one line that no carrier passes for a link, and what closes them."""
    head = f"no carrier passes for {link} with everybody else where they are"
    if not why.tunable:
        return f"{head}: its units have none in common, look at their ranges (planlint why says who tunes what)"
    lost = ", ".join(f"{rule} {number}" for rule, number in sorted(why.lost.items(), key=lambda one: (-one[1], one[0])))
    left = f"{why.allowed} are left, none of them clear of who is on" if why.allowed else "none is left"
    closed = f" closed: {lost};" if lost else ""
    return f"{head}. Its units tune {why.tunable};{closed} {left}. planlint assign may move somebody else"


def minutes(facts: Facts, way: Way) -> float:
    """Return how long it takes one person, by the house's minutes a touch."""
    return rate(facts.plan).min_per_unit * len(way.touches)


def steps(facts: Facts, way: Way) -> Iterator[str]:
    """Yield the steps in order: volume down first, receiving ends, an empty carrier, the transmitter, lists, up again."""
    links = [facts.plan.links[name] for name in (way.link, *way.with_it)]
    ears = any(link.kind == "ear" for link in links)
    senders = {link.tx or link.id for link in links}
    lists = [touch for touch in way.touches if touch.entry]
    units = [touch for touch in way.touches if not touch.entry]
    hearing = list(dict.fromkeys(t.unit for t in (*units, *lists) if t.entry or _is_pack(facts, t.unit)))
    to = mhz(way.carrier_hz)
    if ears:
        yield f"Tell whoever listens: ears out. To minimum volume: {', '.join(hearing) or 'every pack of the link'}."
    if any(link.kind != "ear" for link in links):
        inputs = [str(link.desk_in) for link in links if link.kind != "ear" and link.desk_in is not None]
        where = f" (input {', '.join(inputs)})" if inputs else ""
        yield f"Mute it at the desk{where}: it goes to ears and wedges too."
    receiving = [touch for touch in units if touch.unit not in senders]
    for touch in receiving:
        volume = ", volume still at minimum" if _is_pack(facts, touch.unit) else ""
        yield f"{_where(touch)}: set {to}{volume}"
    if receiving:
        yield f"Look at the meter there: as long as our transmitter is not on {to}, nothing may show. Else stop and ask."
    yield from (f"{_where(touch)}: set {to}" for touch in units if touch.unit in senders)
    yield from (f"{_where(touch)}: change the list entry of {touch.entry} to {to}" for touch in lists)
    if ears:
        yield "Listen on a spare pack first, at minimum; then ears in, and raise slowly."
    else:
        yield "Unmute once its receiver shows it and it has been listened to."


def _is_pack(facts: Facts, unit: str) -> bool:
    return any(unit == pack.id for link in facts.plan.links.values() for pack in link.packs)


def _where(touch: Touch) -> str:
    return touch.unit if touch.where.id == touch.unit else f"{touch.unit} ({touch.where.kind} {touch.where.id})"


def as_json(facts: Facts, found: Checked) -> str:
    """Return the same as JSON (schemas/move.schema.json)."""
    way = found.way
    return dump(
        {
            "format": 1,
            "plan": facts.plan.file,
            "link": way.link,
            "moves_with": list(way.with_it),
            "old_hz": way.old_hz,
            "carrier_hz": way.carrier_hz,
            "spare": way.spare,
            "margin_khz": None if way.margin_hz is None else khz_number(way.margin_hz),
            "notes": list(way.notes),
            "brings": finding_objects(found.brings),
            "spares_lost": finding_objects(found.spares),
            "passed_over": [{"carrier_hz": carrier, "why": why} for carrier, why in way.passed_over],
            "touch": [
                {"unit": touch.unit, "entry": touch.entry, "where": {"kind": touch.where.kind, "id": touch.where.id}}
                for touch in way.touches
            ],
            "steps": list(steps(facts, way)),
            "minutes": minutes(facts, way),
        }
    )


def none_json(facts: Facts, link: str, why: NoWay) -> str:
    """Return the JSON where no carrier passes: none, and what closes them in the notes."""
    return dump(
        {
            "format": 1,
            "plan": facts.plan.file,
            "link": link,
            "moves_with": [],
            "old_hz": facts.carriers.get(link),
            "carrier_hz": None,
            "spare": False,
            "margin_khz": None,
            "notes": [none_text(link, why)],
            "brings": [],
            "spares_lost": [],
            "passed_over": [],
            "touch": [],
            "steps": [],
            "minutes": 0,
        }
    )
