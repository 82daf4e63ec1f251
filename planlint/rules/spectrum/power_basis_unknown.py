"""A transmitter's model does not say what its power means.

What goes wrong: 30 mW at the socket, 30 mW from a dipole and 30 mW EIRP differ by up to 2.15 dB, and by the
whole antenna where there is one. Without the basis no power limit can be judged.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us}
    models: {tx-n: {role: ear-transmitter, powers_mw: [5, 30]}}
    devices: {TX-1: {model: tx-n, into: none}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 5}}

Good::

    plan_format: 1
    kind: plan
    show: {region: us}
    models: {tx-n: {role: ear-transmitter, powers_mw: [5, 30], power_basis: conducted}}
    devices: {TX-1: {model: tx-n, into: none}}
    links: {vox: {kind: ear, tx: TX-1, carrier_mhz: 505.300, power_mw: 5}}

Source: ERP is EIRP less 2.15 dB, the gain of a half-wave dipole (closed form); the basis stands in the unit's
data sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.chain import model_at, transmitter
from planlint.facts.power import permission
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Model
from planlint.rules.base import NoOptions, Rule
from planlint.rules.law import carried, lacking
from planlint.rules.power_wording import BASIS_WORDS

RULE = Rule(severity="note", group="tidy", source="closed form, and the unit's data sheet")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each model that sends under a power limit and does not say its basis."""
    yield from lacking(plan, facts)
    unsaid: dict[str, tuple[Model, list[Link]]] = {}
    for link, *_ in carried(plan, facts):
        device = transmitter(plan, link)
        if device is None:
            key = "mic" if link.kind == "mic" else "tx"
            yield Unchecked((f"{link.at}/{key}",), (link.id,))
        elif device.model is None:
            yield Unchecked((model_at(device),), (link.id, device.id))
        elif "power_basis" not in device.model.spec and permission(plan, facts, link):
            unsaid.setdefault(device.model.id, (device.model, []))[1].append(link)
    for name in sorted(unsaid):
        model, links = unsaid[name]
        if "powers_mw" in model.spec or any(link.power_mw is not None for link in links):
            yield _fault(plan, facts, model, links)


def _fault(plan: Plan, facts: Facts, model: Model, links: list[Link]) -> Fault:
    rows = [row for link in links for row in _rows(plan, facts, link)]
    bases = " and ".join(dict.fromkeys(rows)) or "not written"
    ids = [name for link in links for name in (link.id, link.tx) if name]
    return Fault(
        f"{model.at}/powers_mw",
        f"{model.id} ({', '.join(sorted(link.id for link in links))}): its power is written without a basis, and the "
        f"limit here is {bases}. Look in its data sheet and write power_basis: conducted, erp or eirp; until then no "
        "power limit is checked for it.",
        tuple(ids),
        {"model": model.id},
    )


def _rows(plan: Plan, facts: Facts, link: Link) -> list[str]:
    may = permission(plan, facts, link)
    rows = (*may.applies, *may.unknown, *may.closed) if may else ()
    return [BASIS_WORDS[row.power_basis] for row in rows if row.power_basis]
