"""Noise, or somebody, on a carrier: more than the house calls usable.

What goes wrong: the pack hisses, or hears somebody else, wherever the wanted signal is weak. The power that the scans
for this kind of link found within the emission (noise as in 200 kHz, a single carrier as it was read; the highest of
several scans) is held against `policy.floor_dbm.usable`. That line is a rule of thumb and knows no wanted level; the
link's own sum, where its facts are written, stands beside it.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100}}
    links: {vox: {kind: ear, carrier_mhz: 500.200}}
    # file: stage.csv
    freq_mhz,level_dbm
    500.0,-82.0
    500.1,-82.0
    500.2,-82.0
    500.3,-82.0
    500.4,-82.0

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100}}
    links: {vox: {kind: ear, carrier_mhz: 500.200}}
    # file: stage.csv
    freq_mhz,level_dbm
    500.0,-83.0
    500.1,-83.0
    500.2,-83.0
    500.3,-83.0
    500.4,-83.0

Source: common practice, no source, for the line; the sum of powers is closed form.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts, limits
from planlint.facts.margin import Margin
from planlint.facts.scan import Floor
from planlint.finding import Fault, Mark, Unchecked, Value
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import who
from planlint.rules.margin_wording import where
from planlint.rules.scanning import called, floors, lacking_floors, quieter_spare, scan_of, units_of

RULE = Rule(severity="error", group="link", source="common practice, no source", accept={"floor_dbm": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link whose floor is above the usable line."""
    yield from lacking_floors(plan, facts)
    usable = limits.number(plan, "floor_dbm.usable")
    for link, floor in floors(facts):
        if floor.power.line_dbm > usable:
            yield _fault(plan, facts, link, floor, usable)


def _fault(plan: Plan, facts: Facts, link: Link, floor: Floor, usable: float) -> Fault:
    level, scan = floor.power.line_dbm, scan_of(facts, floor)
    values: dict[str, Value] = {"carrier_mhz": mhz(facts.carriers[link.id]), "floor_dbm": level, "limit_dbm": usable}
    better = quieter_spare(plan, facts, link, level)
    to = "Move it to a quieter carrier"
    marks = [Mark(scan.key_at("file"), f"found in {scan.id}")]
    if better is not None:
        spare, quiet = better
        values |= {"spare_mhz": mhz(spare.carrier_hz), "spare_floor_dbm": quiet}
        to = f"Quietest written spare: {mhz(spare.carrier_hz)} at {quiet:.1f} dBm. Move it there"
        marks.append(Mark(spare.at, "the spare"))
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(facts.carriers[link.id])}: {level:.1f} dBm in 200 kHz in {called(scan)}; usable is {usable:g} dBm at "
        f"most (a rule of thumb; {_link_sum(facts, link)}). {to}, at every end ({units_of(plan, link)}), or find what makes it.",
        who(link),
        values,
        tuple(marks),
        rank=-level,
    )


def _link_sum(facts: Facts, link: Link) -> str:
    known = [margin for margin in facts.margins if isinstance(margin, Margin) and margin.link == link.id]
    worst = min(known, key=lambda margin: margin.margin_db, default=None)
    if worst is None:
        return "its link sum lacks facts"
    return f"by the link sum {where(worst)} has {worst.margin_db:.0f} dB of margin, limit {worst.limit_db:g} dB"
