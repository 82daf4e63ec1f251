"""Somebody goes on the air after the scan, on a carrier that nobody kept for them.

What goes wrong: the guest lands at 19:40, switches on, lets the unit choose a carrier and sits on ours. Nobody heard
them in the scan at 13:05. Carriers that were kept as spares for them are not reported, nor those that an act holds:
they were agreed beforehand.

Bad::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    scans: {stage: {file: scans/stage.csv, at: "2026-03-14T13:05"}}
    spectrum: {others_on_air: {guest-ear: {carrier_mhz: 504.250, kind: ear, at: "19:40"}}}
    spares_mhz: {ear: [502.700]}

Good::

    plan_format: 1
    kind: plan
    show: {date: "2026-03-14"}
    scans: {stage: {file: scans/stage.csv, at: "2026-03-14T13:05"}}
    spectrum: {others_on_air: {guest-ear: {carrier_mhz: 502.700, kind: ear, at: "19:40"}}}
    spares_mhz: {ear: [502.700]}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Other
from planlint.plan.quantity import MINUTES_PER_DAY, clock, mhz
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each of the others that goes on the air after the last scan on no carrier kept for them."""
    if "others_on_air" not in plan.section("spectrum"):
        yield Unchecked(("/spectrum/others_on_air",))
    agreed = {name for act in plan.acts for name in act.holds}
    others = [plan.others[name] for name in sorted(plan.others) if name not in agreed]
    arriving = [other for other in others if other.start_min is not None and other.self_tuned is None]
    if not arriving:
        return
    ids = tuple(other.id for other in arriving)
    times = {name: scan.get("at") for name, scan in plan.section("scans").items() if isinstance(scan, dict)}
    lacking = [] if times else ["/scans"]
    lacking += [f"/scans/{escape(name)}/at" for name, at in sorted(times.items()) if at is None]
    lacking += [] if plan.date is not None else ["/show/date"]
    if lacking or plan.date is None:
        yield Unchecked(tuple(lacking), ids)
        return
    scan, last = max(times.items(), key=lambda item: (str(item[1]), item[0]))
    kept = {spare.carrier_hz for spare in plan.spares}
    for other in arriving:
        if _goes_on(plan.date, other) > str(last) and other.carrier_hz not in kept:
            yield _fault(other, scan, str(last))


def _goes_on(date: str, other: Other) -> str:
    """Return when somebody goes on the air, as a scan's time is written."""
    return f"{date}T{clock((other.start_min or 0) % MINUTES_PER_DAY)}"


def _fault(other: Other, scan: str, last: str) -> Fault:
    on = f" on {mhz(other.carrier_hz)}" if other.carrier_hz is not None else ", and their carrier is not written"
    who = f" ({other.who})" if other.who else ""
    return Fault(
        f"{other.at}/at",
        f"{other.id}{who} goes on the air at {clock(other.start_min or 0)}{on}; the last scan ({scan}) was at {last[-5:]}: it did not "
        "hear them. Give them a spare that was checked, enter it with them at both ends, and let them choose nothing alone.",
        (other.id,),
        {"clock": clock(other.start_min or 0), "scan_at": last},
        (Mark(f"/scans/{escape(scan)}/at", "the last scan"),),
    )
