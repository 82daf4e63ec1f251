"""A carrier that is usable and not clean.

What goes wrong: nothing yet. There is noise on it that a cleaner carrier would not have, and it is the first to go
when the night gets busier. The floor, as the usable line counts it, is above `policy.floor_dbm.clean`; a written spare
that is 6 dB quieter is named. Above the usable line `floor-over-usable` speaks alone.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100}}
    links: {vox: {kind: ear, carrier_mhz: 500.200}}
    # file: stage.csv
    freq_mhz,level_dbm
    500.0,-89.0
    500.1,-89.0
    500.2,-89.0
    500.3,-89.0
    500.4,-89.0

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100}}
    links: {vox: {kind: ear, carrier_mhz: 500.200}}
    # file: stage.csv
    freq_mhz,level_dbm
    500.0,-95.1
    500.1,-95.1
    500.2,-95.1
    500.3,-95.1
    500.4,-95.1

Source: common practice, no source, for the line; the sum of powers is closed form.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts, limits
from planlint.facts.scan import Floor
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import who
from planlint.rules.scanning import called, floors, lacking_floors, quieter_spare, scan_of, units_of

RULE = Rule(severity="note", group="margin", source="common practice, no source", accept={"floor_dbm": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link whose floor lies between the clean and the usable line."""
    yield from lacking_floors(plan, facts)
    clean, usable = limits.number(plan, "floor_dbm.clean"), limits.number(plan, "floor_dbm.usable")
    for link, floor in floors(facts):
        if clean < floor.power.line_dbm <= usable:
            yield _fault(plan, facts, link, floor, clean)


def _fault(plan: Plan, facts: Facts, link: Link, floor: Floor, clean: float) -> Fault:
    level, scan = floor.power.line_dbm, scan_of(facts, floor)
    values: dict[str, Value] = {"carrier_mhz": mhz(facts.carriers[link.id]), "floor_dbm": level, "limit_dbm": clean}
    better = quieter_spare(plan, facts, link, level)
    also = "It can stay; if it must move anyway, look for a quieter one."
    marks = [Mark(scan.key_at("file"), f"found in {scan.id}")]
    if better is not None:
        spare, quiet = better
        values |= {"spare_mhz": mhz(spare.carrier_hz), "spare_floor_dbm": quiet}
        also = (
            f"The written spare {mhz(spare.carrier_hz)} is {level - quiet:.0f} dB quieter ({quiet:.1f} dBm), for a touch at "
            f"each of {units_of(plan, link)}."
        )
        marks.append(Mark(spare.at, "the spare"))
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(facts.carriers[link.id])}: {level:.1f} dBm in 200 kHz in {called(scan)}; usable, but clean is "
        f"{clean:g} dBm at most. {also}",
        who(link),
        values,
        tuple(marks),
        rank=-level,
    )
