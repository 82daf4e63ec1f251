"""Somebody for whom something is new tonight, and who was not told.

What goes wrong: the guitarist's pack is another model tonight, or moved in the night; he looks for the old knob in the
first song. New is: a carrier other than at the tour's show before on a link of theirs, or a hired unit in place of the
planned one. Who was told stands in `told`; `[]` means nobody yet.

Bad::

    plan_format: 1
    kind: plan
    people: {gtr: {does: guitar}}
    models: {pack-n: {role: ear-pack}, pack-h: {role: ear-pack}}
    devices: {PK-2: {model: pack-n}}
    hired: {PK-2: {model: pack-h, because: ours is at the repair bench}}
    links: {ear-2: {kind: ear, packs: {PK-2: {person: gtr}}}}
    told: []

Good::

    plan_format: 1
    kind: plan
    people: {gtr: {does: guitar}}
    models: {pack-n: {role: ear-pack}, pack-h: {role: ear-pack}}
    devices: {PK-2: {model: pack-n}}
    hired: {PK-2: {model: pack-h, because: ours is at the repair bench}}
    links: {ear-2: {kind: ear, packs: {PK-2: {person: gtr}}}}
    told: [gtr]

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import main_packs
from planlint.facts.shows import show_before
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each person with something new tonight who is not among those told."""
    if "told" not in plan.values:
        yield Unchecked(("/told",))
        return
    if plan.kind == "venue" and (facts.siblings is None or plan.date is None):
        yield Unchecked(("/uses",) if facts.siblings is None else ("/show/date",))
    before = show_before(plan, facts.siblings)
    news: dict[str, list[tuple[str, Link, str | None]]] = {}
    for name in sorted(plan.links):
        link = plan.links[name]
        if not link.used or link.stands_in_for is not None:
            continue
        for person, unit in _users(link):
            moved = _moved(link, before)
            news.setdefault(person, []).extend([(moved, link, unit)] if moved else [])
            if unit in plan.devices and plan.devices[unit or ""].hired:
                news[person].append((f"{unit} is a hired {plan.devices[unit or ''].model_id}", link, unit))
    for person in sorted(news):
        if news[person] and person not in plan.values["told"]:
            yield _fault(person, news[person])


def _users(link: Link) -> Iterator[tuple[str, str | None]]:
    if link.kind == "mic" and link.person:
        yield link.person, link.tx
    for pack in main_packs(link):
        if pack.person:
            yield pack.person, pack.id


def _moved(link: Link, before: Plan | None) -> str | None:
    old = before.links.get(link.id) if before else None
    if old is None or not old.used or None in {old.carrier_hz, link.carrier_hz} or old.carrier_hz == link.carrier_hz:
        return None
    return f"{link.id} is on {mhz(link.carrier_hz or 0)}, at the show before {mhz(old.carrier_hz or 0)}"


def _fault(person: str, news: list[tuple[str, Link, str | None]]) -> Fault:
    ids = {name for _, link, unit in news for name in (link.id, unit) if name}
    return Fault(
        "/told",
        f"{person}: {joined(what for what, _, _ in news)}, and is not among those told. Tell them at the belt and add {person} to "
        "told.",
        tuple(sorted(ids)),
        {"person": person, "changes": len(news)},
        key=True,
    )
