"""A pack of which it is not known how it is set.

What goes wrong: a hired spare comes out of its case with whatever the last crew left in it; the send takes carrier and name
over, and squelch, limiter and balance are anybody's guess. A setting is known if it was found, or if a send takes it
over; only settings that the plan writes are asked for.

Bad::

    plan_format: 1
    kind: plan
    devices: {PK-1: {}, PK-S: {}}
    pack_defaults: {limiter_db: -12}
    links: {ear-1: {kind: ear, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}
    found: {PK-1: {limiter_db: -12}, PK-S: {limiter_db: unknown}}

Good::

    plan_format: 1
    kind: plan
    devices: {PK-1: {}, PK-S: {}}
    pack_defaults: {limiter_db: -12}
    links: {ear-1: {kind: ear, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}
    found: {PK-1: {limiter_db: -12}, PK-S: {limiter_db: -12}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.as_set import PACK_SETTINGS, links_of, meant, record_of, sent, takes_by_send
from planlint.facts.packs import worn
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.found_wording import lacking_record
from planlint.rules.packs import joined, lacking_packs

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack with settings in the plan that were neither found nor sent."""
    yield from lacking_record(plan)
    if "found" not in plan.values:
        return
    yield from lacking_packs(plan)
    for unit in sorted({pack.id for _, pack in worn(plan)} & plan.devices.keys()):
        record = record_of(plan, unit)
        taken = sent(plan, record) if record else takes_by_send(plan.devices[unit])
        wanted = [key for key in meant(plan, unit) if key in PACK_SETTINGS]
        open_ones = [key for key in wanted if not (record and record.known(key)) and key not in (taken or ())]
        if open_ones:
            yield _fault(plan, unit, open_ones, recorded=record is not None)


def _fault(plan: Plan, unit: str, open_ones: list[str], *, recorded: bool) -> Fault:
    count = len(open_ones)
    named = joined(key.removesuffix("_db").removesuffix("_pct").replace("_", " ") for key in open_ones)
    why = "" if recorded else ", it is not in the record"
    return Fault(
        f"/found/{escape(unit)}",
        f"{unit}: {count} setting{'' if count == 1 else 's'} not known{why} ({named}). Reset it and enter what the plan says, or "
        "look at it by eye, before somebody wears it.",
        (unit, *(link.id for link in links_of(plan, unit))),
        {"unknown": count, "fields": ", ".join(open_ones)},
        key=True,
    )
