"""An emission wider than its band allows.

What goes wrong: the carrier may be where it is, and the unit takes up more than the rules give one channel: a
wide digital mode, or a unit made for another band.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    models: {hand-w: {role: mic-transmitter, emission_khz: 400}}
    devices: {HH-1: {model: hand-w}}
    links: {vox: {kind: mic, mic: HH-1, carrier_mhz: 560.000}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    models: {hand-n: {role: mic-transmitter, emission_khz: 200}}
    devices: {HH-1: {model: hand-n}}
    links: {vox: {kind: mic, mic: HH-1, carrier_mhz: 560.000}}

An unwritten width is not judged. Where several rows hold the carrier, those that apply with the licences held
count, and the widest of them.

Source: the region file's rows; each says whether its width was read.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.chain import model_at, transmitter
from planlint.facts.power import Permission, permission
from planlint.facts.spectrum import weakest
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Row
from planlint.plan.quantity import khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who

RULE = Rule(severity="error", group="law", source="the region file's rows", law=True, accept={"emission_khz": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each emission wider than every row that holds its carrier allows."""
    yield from lacking(plan, facts)
    for link, carrier, *_ in carried(plan, facts):
        may = permission(plan, facts, link)
        if may is None:
            continue
        if link.id in facts.assumed_widths:
            yield Unchecked((_width_at(plan, link),), who(link))
            continue
        width = facts.widths[link.id]
        rows = may.applies or (*may.unknown, *may.closed)
        if _fits(rows, width):
            continue
        if may.applies and _fits(may.unknown, width):
            yield Unchecked(may.licence_needs, who(link))
        else:
            yield _fault(plan, link, carrier, width, rows, may)


def _fits(rows: tuple[Row, ...], width: int) -> bool:
    return any(row.max_emission_hz is None or width <= row.max_emission_hz for row in rows)


def _fault(plan: Plan, link: Link, carrier: int, width: int, rows: tuple[Row, ...], may: Permission) -> Fault:
    says = strength(weakest([row.status.get("width", "memory") for row in rows]))
    row = max(rows, key=lambda row: row.max_emission_hz or 0)
    limit = row.max_emission_hz or 0
    held = f" with {', '.join(may.covers[row.id].held)}" if row.id in may.covers and may.covers[row.id].held else ""
    document = row.spec.get("width_source", row.source).get("document", "no document named")
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(carrier)}: {link.tx} is {khz(width)} kHz wide; limit {khz(limit)} kHz here{held} ({row.id}, "
        f"{document}){says.says}. Set both ends to a narrower mode, or use another unit.",
        who(link),
        {"emission_khz": khz_number(width), "limit_khz": khz_number(limit)},
        (Mark(_width_at(plan, link), f"{link.tx} is this wide"),),
        severity=says.severity,
        waivable=says.waivable,
    )


def _width_at(plan: Plan, link: Link) -> str:
    device = transmitter(plan, link)
    if device is None:
        return f"{link.at}/{'mic' if link.kind == 'mic' else 'tx'}"
    return f"{device.model.at}/emission_khz" if device.model else model_at(device)
