"""A scan taken while our own transmitters were on the air.

What goes wrong: our own carriers, from the last show or already tuned for this one, look like somebody else's, and
the best spots of the town are thrown away. It says so where `own_rf` is live or unknown, and where the file shows it:
a peak (10 dB over its surroundings) within 50 kHz of half or more of tonight's carriers, or of the last show's, two at
the least. Floors at what may be our own carriers are then not judged by that scan.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, own_rf: silent}}
    links: {vox: {kind: ear, carrier_mhz: 500.500}, gtr: {kind: ear, carrier_mhz: 501.100}}
    # file: stage.csv
    freq_mhz,level_dbm
    499.7,-103
    499.9,-104
    500.1,-102
    500.3,-103
    500.5,-51
    500.7,-101
    500.9,-104
    501.1,-56
    501.3,-102
    501.5,-104
    501.7,-103

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, own_rf: silent}}
    links: {vox: {kind: ear, carrier_mhz: 500.500}, gtr: {kind: ear, carrier_mhz: 501.100}}
    # file: stage.csv
    freq_mhz,level_dbm
    499.7,-103
    499.9,-104
    500.1,-102
    500.3,-103
    500.5,-104
    500.7,-101
    500.9,-104
    501.1,-103
    501.3,-102
    501.5,-104
    501.7,-103

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.scan import Scan
from planlint.facts.scan_peaks import Peaks, own_carriers
from planlint.finding import Fault, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, lacking_siblings, listed, show_called

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan in which our transmitters were, or may have been, on."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    if facts.scans.all:
        yield from lacking_siblings(plan, facts)
    for scan in facts.scans.all:
        peaks = facts.scans.own_peaks.get(scan.id)
        written = scan.spec.get("own_rf")
        shown = peaks is not None and peaks.are_the_set
        if written in {"live", "unknown"} or shown:
            yield _fault(plan, facts, scan, peaks if shown else None)
            continue
        lacks = {"own_rf": written is None, "file": peaks is None}
        missing = tuple(scan.key_at(key) for key, lacking in lacks.items() if lacking)
        if missing:
            yield Unchecked(missing, (scan.id,))


def _fault(plan: Plan, facts: Facts, scan: Scan, peaks: Peaks | None) -> Fault:
    written = scan.spec.get("own_rf")
    values: dict[str, Value] = {"own_rf": str(written or "unwritten")}
    said = f"Our own transmitters were on in {called(scan)} (own_rf: live)."
    if written == "unknown":
        said = f"Nobody knows whether our own transmitters were on in {called(scan)} (own_rf: unknown)."
    if peaks is not None:
        values |= {"peaks": len(peaks.ids), "carriers": peaks.seen}
        said = (
            f"{len(peaks.ids)} of {_whose(plan, facts, peaks)} stand out of {called(scan)}: "
            f"{_carriers(plan, facts, peaks)}. They look like our own."
        )
    return Fault(
        scan.key_at("own_rf" if written else "file"),
        f"{said} Switch every transmitter of ours off the air and scan again: own carriers look taken, and what they cover "
        "is not seen.",
        (scan.id, *(name for name in peaks.ids if name in plan.links)) if peaks else (scan.id,),
        values,
    )


def _whose(plan: Plan, facts: Facts, peaks: Peaks) -> str:
    before = facts.scans.show_before
    if before is None or peaks.show == plan.file:
        return f"tonight's {peaks.seen} carriers"
    return f"the {peaks.seen} carriers of the last show ({show_called(before)})"


def _carriers(plan: Plan, facts: Facts, peaks: Peaks) -> str:
    before = facts.scans.show_before
    show = plan if before is None or peaks.show == plan.file else before
    carriers = own_carriers(show)
    return listed(mhz(carriers[name]) for name in peaks.ids)
