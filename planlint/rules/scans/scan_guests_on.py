"""A scan taken while guests' or the house's transmitters were on the air.

What goes wrong: what looks like a busy town is the act before us, gone by the show; or the house's headset, which
could have been asked. It says so where `guests_rf` is live or unknown, and where the file shows it: a peak (10 dB
over its surroundings) within 50 kHz of half or more of `others_on_air`, two at the least.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, guests_rf: live, at: "2026-03-14T13:05"}}
    # file: stage.csv
    freq_mhz,level_dbm
    532.0,-51
    532.1,-103

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, guests_rf: silent, at: "2026-03-14T13:05"}}
    # file: stage.csv
    freq_mhz,level_dbm
    532.0,-102
    532.1,-103

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.scan import Scan
from planlint.facts.scan_peaks import Peaks, peaks
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, listed, with_carrier

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan in which others' transmitters were, or may have been, on."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    theirs = {name: carrier for name, carrier in facts.carriers.items() if name in plan.others}
    for scan in facts.scans.all:
        points = scan.points
        found = peaks(points, theirs, plan.file) if points is not None else None
        written = scan.spec.get("guests_rf")
        shown = found is not None and found.are_the_set
        if written in {"live", "unknown"} or shown:
            yield _fault(facts, scan, found if found and found.ids else None)
            continue
        lacks = {"guests_rf": written is None, "file": found is None}
        missing = tuple(scan.key_at(key) for key, lacking in lacks.items() if lacking)
        if missing:
            yield Unchecked(missing, (scan.id,))


def _fault(facts: Facts, scan: Scan, found: Peaks | None) -> Fault:
    written = scan.spec.get("guests_rf")
    values: dict[str, Value] = {"guests_rf": str(written or "unwritten")}
    seen = ""
    if found is not None:
        values |= {"peaks": len(found.ids), "carriers": found.seen}
        seen = f" What stands out there is theirs: {listed(with_carrier(facts, name) for name in found.ids)}."
    when = f" at {str(scan.spec['at']).partition('T')[2]}" if "at" in scan.spec else ""
    said = {
        "live": f"Guests' or the house's transmitters were on in {called(scan)}{when}.",
        "unknown": f"Nobody knows whether guests' or the house's transmitters were on in {called(scan)}{when}.",
    }.get(str(written), f"Others' carriers show in {called(scan)}{when}, which should not hold them.")
    ids = found.ids if found is not None else ()
    return Fault(
        scan.key_at("guests_rf" if written else "file"),
        f"{said}{seen} Ask them off the air and scan again, or write which carriers are theirs in others_on_air.",
        (scan.id, *ids),
        values,
        tuple(Mark(facts.carrier_at(name), f"{name} is theirs") for name in ids),
    )
