"""What the rules about scans share: what is missing, and how scans, kinds and floors are named in a message."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planlint.facts import Facts
from planlint.facts.ends import End, ends, ranges_of
from planlint.facts.scan import Floor, NoFloor, Scan
from planlint.facts.spares import width_hz
from planlint.finding import Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Spare
from planlint.plan.quantity import mhz

#: How the receivers of a kind of link are called.
RECEIVERS = {
    "ear": "in-ear packs",
    "mic": "microphone receivers",
    "comms": "comms receivers",
    "other": "other receivers",
}
#: A spare is worth naming where it is so much quieter.
QUIETER_DB = 6.0


def lacking(plan: Plan, facts: Facts) -> Iterator[Unchecked]:
    """Yield what is not checked because no scans are written, or their files give no points."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
    for scan in facts.scans.all:
        if scan.points is None:
            yield Unchecked((scan.key_at("file"),), (scan.id,))


def lacking_siblings(plan: Plan, facts: Facts) -> Iterator[Unchecked]:
    """Yield what is not checked because a venue's tour, and so its other shows, are not known."""
    if plan.kind == "venue" and facts.siblings is None:
        yield Unchecked(("/uses",))


def called(scan: Scan) -> str:
    """Name a scan with where it was taken: `scan stage (stage centre)`."""
    where = scan.spec.get("where")
    return f"scan {scan.id} ({where})" if where else f"scan {scan.id}"


def heading(scan: Scan) -> str:
    """Name a scan at the start of a sentence: `Scan stage (stage centre)`."""
    return f"S{called(scan)[1:]}"


def show_called(plan: Plan) -> str:
    """Name another show: its place and date, else its file."""
    words = [str(word) for word in (plan.show.get("place") or plan.show.get("id"), plan.date) if word]
    return ", ".join(words) or plan.file


def listed(names: Iterable[str], most: int = 6) -> str:
    """Write some names as a list, and how many more there are: `a, b and 3 more`."""
    every = list(names)
    return ", ".join(every[:most]) + (f" and {len(every) - most} more" if len(every) > most else "")


def with_carrier(facts: Facts, name: str) -> str:
    """Write a link or other with its carrier: `ear-1 505.300`."""
    return f"{name} {mhz(facts.carriers[name])}"


def kinds(plan: Plan) -> dict[str, list[Link]]:
    """Return the links used tonight on a carrier of ours by their kind, kinds in order of name, links in order of id."""
    found: dict[str, list[Link]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.wants_carrier and link.kind:
            found.setdefault(link.kind, []).append(link)
    return dict(sorted(found.items()))


def units_of(plan: Plan, link: Link) -> str:
    """Name everything that must be tuned when a link moves."""
    found = [end.device for end in ends(plan, link)]
    return ", ".join(found) if found else "its transmitter and every pack or receiver on it"


def quieter_spare(plan: Plan, facts: Facts, link: Link, than_dbm: float) -> tuple[Spare, float] | None:
    """Return the quietest written spare that a link can move to, and its floor as the house's lines count it.

    It is at least 6 dB quieter, every unit on the link that says what it tunes can tune it, and it lies in no listed
    TV channel: a quiet scan never frees one.
    """
    found: list[tuple[float, int, Spare]] = []
    every = list(ends(plan, link))
    for spare in plan.spares:
        half = width_hz(facts, spare) // 2
        low, high = spare.carrier_hz - half, spare.carrier_hz + half
        on_tv = any(channel.low_hz < high and low < channel.high_hz for channel in facts.live_channels or ())
        if spare.kind != link.kind or on_tv or not all(_tunes(end, spare.carrier_hz) for end in every):
            continue
        floor = facts.scans.floor_between(spare.kind, low, high)
        if isinstance(floor, Floor) and floor.power.line_dbm <= than_dbm - QUIETER_DB:
            found.append((floor.power.line_dbm, spare.carrier_hz, spare))
    if not found:
        return None
    level, _, spare = min(found, key=lambda entry: entry[:2])
    return spare, level


def _tunes(end: End, carrier_hz: int) -> bool:
    model = end.model
    if model is None or not model.tuning:
        return True
    return any(
        not model.step_hz or (carrier_hz - tuning.low_hz) % model.step_hz == 0
        for tuning in ranges_of(model, carrier_hz)
    )


def lacking_floors(plan: Plan, facts: Facts) -> Iterator[Unchecked]:
    """Yield what is missing for the floor at each link used tonight."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    for scan in facts.scans.all:
        if scan.points is None or scan.resolution_hz is None:
            yield Unchecked((scan.key_at("file" if scan.points is None else "resolution_khz"),), (scan.id,))
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        floor = facts.scans.floors.get(name)
        if link.wants_carrier and floor is None:
            yield Unchecked((link.carrier_at,), (name,))
        elif isinstance(floor, NoFloor):
            yield Unchecked(floor.needs, (name,))


def floors(facts: Facts) -> Iterator[tuple[Link, Floor]]:
    """Yield each link whose floor is known, with it."""
    for name, floor in facts.scans.floors.items():
        if isinstance(floor, Floor):
            yield facts.plan.links[name], floor


def scan_of(facts: Facts, floor: Floor) -> Scan:
    """Return the scan in which a floor was found."""
    return next(scan for scan in facts.scans.all if scan.id == floor.scan)
