"""More power leaves the antenna than the band allows.

What goes wrong: the power is fine at the socket and over the limit at the antenna, because a directional
antenna makes more of it. Every limit is judged in its own basis (conducted, ERP or EIRP), through combiner,
coax and antenna; ERP is EIRP less 2.15 dB. A conducted limit is held against the highest level before the
antenna, the stricter reading.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    models:
      tx-n: {role: ear-transmitter, powers_mw: [5, 30], power_basis: conducted}
      cmb-8: {role: combiner, active: true, ways: 8, loss_db: 0.0}
    devices: {TX-1: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-8}}
    antennas: {ear-out: {for: ear, through: CMB-A, coax: {loss_db: 1.2}, gain_dbi: 6}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 30}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    models:
      tx-n: {role: ear-transmitter, powers_mw: [5, 30], power_basis: conducted}
      cmb-8: {role: combiner, active: true, ways: 8, loss_db: 0.0}
    devices: {TX-1: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-8}}
    antennas: {ear-out: {for: ear, through: CMB-A, coax: {loss_db: 1.2}, gain_dbi: 6}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 5}}

A licence in the plan that covers carrier, place and date opens the rows of its class; where `licences` lists none
that would be enough, licence-missing-for-power says so instead. `eirp_mw`, `erp_mw` or `conducted_mw` may be
accepted up to a bound, where the row was not read.

Source: the region file's rows; each says whether its power was read. Levels in dB add up (closed form).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.verdict import Verdict, verdict
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking, strength, who
from planlint.rules.power_wording import classes, concerned, limit_text, marks, numbers, sends, what_fits

RULE = Rule(
    severity="error",
    group="law",
    source="the region file's rows",
    law=True,
    accept={"eirp_mw": "higher", "erp_mw": "higher", "conducted_mw": "higher"},
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link over the limit that applies to it."""
    yield from lacking(plan, facts)
    for link, *_ in carried(plan, facts):
        found = verdict(plan, facts, link)
        if found is None:
            continue
        if found.answer == "unknown":
            yield Unchecked(found.needs, who(link))
        if found.answer != "over" or found.sent is None or found.limit is None:
            continue
        says = strength(found.power_status)
        yield Fault(
            f"{link.entry_at}/power_mw",
            f"{link.id}: {sends(link, found.sent, found.limit)}; {limit_text(found.limit)}{says.says}. "
            f"{what_fits(plan, facts, link, found)}{_with_a_licence(found)}",
            concerned(link, found.sent),
            numbers(found),
            tuple(marks(plan, link, found.sent)),
            severity=says.severity,
            waivable=says.waivable,
        )


def _with_a_licence(found: Verdict) -> str:
    if not found.needs:
        return ""
    return (
        f" If the crew holds a licence that allows more ({classes(found.permission.unknown)}), write it under licences."
    )
