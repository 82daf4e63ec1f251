"""Carriers from one show to the next: which moved and why, which stayed in worse air, which would have died."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from planlint.diff.change import Consequence
from planlint.diff.effect import Effect
from planlint.diff.origin import Notice
from planlint.facts import Facts
from planlint.facts.scan import Floor
from planlint.finding import Finding, Severity
from planlint.plan.model import Plan
from planlint.plan.quantity import mhz

#: Rules that say that the place, and not our own plan, takes a carrier away; the plainest reason first.
PLACE_RULES = (
    *("reserved-service", "carrier-outside-band", "occupied-tv-channel", "band-edge-touch", "tv-edge-guard"),
    *("others-on-air-collision", "land-mobile-shared", "floor-over-usable"),
)
_SPECTRUM = ("/spectrum/tv_occupied", "/spectrum/others_on_air", "/spectrum", "/show/region", "/regions", "/scans")
#: A rise that is worth a word: twice the noise. Common practice, no source.
_ROSE_DB = 3.0


class Trial(NamedTuple):
    """What the rules said when one carrier was put back where it was: the first finding it brings, or None."""

    link: str
    old_hz: int
    reason: Finding | None


def moves(old: Plan, new: Plan) -> dict[str, int]:
    """Return the links that are used in both plans and whose carrier moved, with the old carrier in Hz."""
    found = {}
    for name, link in new.links.items():
        before = old.links.get(name)
        if before is None or before.carrier_hz is None or link.carrier_hz is None or not (before.used and link.used):
            continue
        if before.carrier_hz != link.carrier_hz:
            found[name] = before.carrier_hz
    return found


def carriers(new: Plan, trials: Iterable[Trial], units: Mapping[str, tuple[str, ...]]) -> Iterator[Notice]:
    """Yield why each carrier moved, or that nothing that was checked asked for it.

    Args:
        new: the new plan.
        trials: what the rules said about the old carriers.
        units: for each link the units and lists that its move touches.
    """
    for trial in trials:
        link = new.links[trial.link]
        places = (link.carrier_at, link.entry_at)
        was = mhz(trial.old_hz)
        if link.pinned is not None:
            message = f"{link.id} moved from {was} by the venue's word: {link.pinned}"
            yield Notice(places, Consequence("carrier-pinned", "note", message))
        elif trial.reason is not None:
            rule = trial.reason.rule
            message = f"{was} would not do here ({rule}): {trial.reason.message.partition('. ')[0].rstrip('.')}"
            yield Notice(places, Consequence("old-carrier-fails", "note", message, values={"rule": rule}))
        else:
            touched = units.get(link.id, ())
            saved = f" and save {len(touched)} touch{'es' if len(touched) != 1 else ''}" if touched else ""
            message = (
                f"{link.id} moved, and its old {was} passes every rule that could be checked here: keep it{saved}."
            )
            yield Notice(places, Consequence("needless-move", "note", message, touched))


def unexplained(new: Plan, trials: Iterable[Trial]) -> set[str]:
    """Return the pointers of carriers that moved though nothing that could be checked asked for it."""
    return {
        new.links[trial.link].carrier_at
        for trial in trials
        if trial.reason is None and new.links[trial.link].pinned is None
    }


def died(new: Plan, trials: Iterable[Trial], gained: Effect) -> Iterator[Notice]:
    """Yield which of the old carriers the new place takes away, whether they have been moved or not."""
    moved = {trial.link: trial for trial in trials}
    lost = {
        trial.link: f"{trial.link} {mhz(trial.old_hz)} ({trial.reason.rule})"
        for trial in moved.values()
        if trial.reason is not None and trial.reason.rule in PLACE_RULES
    }
    left = {}
    for finding in gained.new:
        for name in finding.subjects:
            link = new.links.get(name)
            if finding.rule in PLACE_RULES and link and link.carrier_hz is not None and name not in moved:
                left[name] = f"{name} {mhz(link.carrier_hz)} ({finding.rule})"
    if not lost and not left:
        return
    total = sum(1 for link in new.links.values() if link.used and link.carrier_hz is not None)
    still = f" Not moved yet: {', '.join(sorted(left))}." if left else " All of them were moved."
    message = f"{len(lost) + len(left)} of {total} carriers of the old plan die here: "
    message += ", ".join([*(lost[name] for name in sorted(lost)), *(left[name] for name in sorted(left))]) + "." + still
    severities = [finding.severity for finding in gained.new if finding.rule in PLACE_RULES] if left else []
    severity: Severity = severities[0] if severities else "note"
    values = {"died": len(lost) + len(left), "of": total, "not_moved": len(left)}
    yield Notice(_SPECTRUM, Consequence("died-since-last", severity, message, (), values))


def same_number(old: Facts, new: Facts) -> Iterator[Notice]:
    """Yield each carrier that stayed while the floor at it rose."""
    for name, there in sorted(new.scans.floors.items()):
        before = old.scans.floors.get(name)
        if not isinstance(there, Floor) or not isinstance(before, Floor):
            continue
        if old.carriers.get(name) != new.carriers[name]:
            continue
        rise = round(there.power.line_dbm - before.power.line_dbm, 1)
        if rise >= _ROSE_DB:
            message = (
                f"{name} stays on {mhz(new.carriers[name])}: same number, different air. The floor there rose from "
                f"{before.power.line_dbm:g} to {there.power.line_dbm:g} dBm. Listen there first."
            )
            values = {"floor_dbm": there.power.line_dbm, "rise_db": rise}
            scan = f"/scans/{there.scan}"
            yield Notice((scan, "/scans"), Consequence("same-number-other-air", "warning", message, (), values))
