"""Desk and transmitter with different connectors, and too few leads between them in the cases.

What goes wrong: the desk gives jack, the transmitter takes XLR, and the box with the leads stayed at home. Count
one lead for each desk output of each mix on each transmitter. The part's name is `<desk>-to-<transmitter>`.

Bad::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, connector: xlr}}
    devices: {TX-1: {model: tx-n}}
    mixes: {vox: {width: stereo, desk_out: [1, 2], connector: jack}}
    links: {vox: {kind: ear, tx: TX-1, sends: stereo, feed: {stereo: vox}}}
    ships: {jack-to-xlr: 1}

Good::

    plan_format: 1
    kind: plan
    models: {tx-n: {role: ear-transmitter, connector: xlr}}
    devices: {TX-1: {model: tx-n}}
    mixes: {vox: {width: stereo, desk_out: [1, 2], connector: jack}}
    links: {vox: {kind: ear, tx: TX-1, sends: stereo, feed: {stereo: vox}}}
    ships: {jack-to-xlr: 2}

Source: counted; nothing to cite.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.mixes import Carried, Mix, carried, mixes
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import lacking_feeds

RULE = Rule(severity="warning", group="link", source="counted")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each kind of lead of which more are needed than are shipped."""
    yield from lacking_feeds(plan)
    known = {mix.id: mix for mix in mixes(plan)}
    needed: dict[str, list[tuple[Carried, int]]] = {}
    for fed in carried(plan):
        missing = tuple(_missing(plan, fed, known.get(fed.mix)))
        if missing:
            yield Unchecked(missing, (fed.link.id,))
            continue
        mix = known[fed.mix]
        gives, takes = str(mix.spec["connector"]), _takes(plan, fed)
        if takes is not None and gives.casefold() != takes.casefold():
            needed.setdefault(f"{_part(gives)}-to-{_part(takes)}", []).append((fed, len(set(mix.outs or ()))))
    for part, uses in sorted(needed.items()):
        count = sum(leads for _, leads in uses)
        if "ships" not in plan.values:
            yield Unchecked(("/ships",), tuple(fed.link.id for fed, _ in uses))
        elif plan.section("ships").get(part, 0) < count:
            yield _fault(plan, part, uses, count)


def _missing(plan: Plan, fed: Carried, mix: Mix | None) -> Iterator[str]:
    if mix is None or "connector" not in mix.spec:
        yield f"/mixes/{escape(fed.mix)}/connector"
    if mix is None or mix.outs is None:
        yield f"/mixes/{escape(fed.mix)}/desk_out"
    if fed.link.tx is None:
        yield f"{fed.link.at}/tx"
    elif _takes(plan, fed) is None:
        device = plan.devices.get(fed.link.tx)
        model = device.model if device else None
        yield f"{model.at}/connector" if model else f"/devices/{escape(fed.link.tx)}/model"


def _takes(plan: Plan, fed: Carried) -> str | None:
    device = plan.devices.get(fed.link.tx or "")
    return device.model.spec.get("connector") if device and device.model else None


def _part(connector: str) -> str:
    return re.sub(r"[^a-z0-9._-]+", "-", connector.casefold())


def _fault(plan: Plan, part: str, uses: list[tuple[Carried, int]], count: int) -> Fault:
    shipped = plan.section("ships").get(part, 0)
    concerned = sorted({fed.link.id for fed, _ in uses} | {str(fed.link.tx) for fed, _ in uses})
    return Fault(
        f"/ships/{escape(part)}",
        f"{count} {part} lead{'s' if count > 1 else ''} needed between desk and transmitters, the cases list {shipped}: "
        f"pack {count - shipped} more, or a mix stays unpatched.",
        tuple(concerned),
        {"part": part, "needed": count, "shipped": shipped},
        tuple(Mark(fed.at, f"{fed.mix} to {fed.link.tx}: {leads}") for fed, leads in uses),
        key=True,
    )
