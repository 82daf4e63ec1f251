"""A unit that was found on another carrier than the transmitter of its link.

What goes wrong: the carrier was moved in the rack and one pack was not entered, most often the spare. Handed to the
singer in the dark it plays noise, or a TV channel. The transmitter's carrier is the one found on it, or where nobody
looked the plan's.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, PK-1: {}, PK-S: {}}
    links: {ear-1: {kind: ear, tx: TX-1, carrier_mhz: 505.300, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}
    found: {TX-1: {carrier_mhz: 505.300}, PK-1: {carrier_mhz: 505.300}, PK-S: {carrier_mhz: 485.575}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-1: {}, PK-1: {}, PK-S: {}}
    links: {ear-1: {kind: ear, tx: TX-1, carrier_mhz: 505.300, packs: {PK-1: {}, PK-S: {stands_in_for: PK-1}}}}
    found: {TX-1: {carrier_mhz: 505.300}, PK-1: {carrier_mhz: 505.300}, PK-S: {carrier_mhz: 505.300}}

A spare that stands in on several links is on one of their carriers. A unit that nobody looked at is not checked.

Source: equality of carriers; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.as_set import CARRIER, carrier_hz, links_of, record_of
from planlint.facts.ends import ends
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.plan.quantity import khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.found_wording import lacking_record

RULE = Rule(severity="error", group="link", source="equality of carriers")


class _Sent(NamedTuple):
    """The carrier in Hz that a link's transmitter is on, and where that is known from."""

    hz: int
    at: str
    seen: bool


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each receiver, pack and spare that was found on no carrier of its links."""
    yield from lacking_record(plan)
    if "found" not in plan.values:
        return
    if not plan.links:
        yield Unchecked(("/links",))
    receiving = {
        end.device
        for link in plan.links.values()
        for end in ends(plan, link)
        if link.wants_carrier and end.job not in {"transmitter", "listens"}
    }
    for unit in sorted(receiving):
        links = links_of(plan, unit)
        record = record_of(plan, unit)
        here = carrier_hz(record) if record else None
        sent = {link.id: _sent(plan, link) for link in links}
        needs = [] if here is not None else [f"/found/{escape(unit)}/{CARRIER}"]
        needs += [plan.links[name].carrier_at for name, carrier in sent.items() if carrier is None]
        if needs or here is None:
            yield Unchecked(tuple(needs), (unit, *sent))
        elif all(carrier is not None and carrier.hz != here for carrier in sent.values()):
            yield _fault(unit, here, links, [carrier for carrier in sent.values() if carrier is not None])


def _sent(plan: Plan, link: Link) -> _Sent | None:
    record = record_of(plan, link.tx) if link.tx else None
    seen = carrier_hz(record) if record else None
    if record is not None and seen is not None:
        return _Sent(seen, f"{record.at}/{CARRIER}", seen=True)
    return None if link.carrier_hz is None else _Sent(link.carrier_hz, link.carrier_at, seen=False)


def _fault(unit: str, here: int, links: list[Link], sent: list[_Sent]) -> Fault:
    first, carrier = links[0], sent[0]
    sender = first.tx or f"{first.id}'s transmitter"
    packs = {pack.id for link in links for pack in link.packs}
    what = f"handed out on {first.id} it plays noise or somebody else" if unit in packs else f"{first.id} stays silent"
    shows = "showed" if carrier.seen else "is by the plan on"
    return Fault(
        f"/found/{escape(unit)}/{CARRIER}",
        f"{unit} showed {mhz(here)}, {sender} {shows} {mhz(carrier.hz)}: {what}. Enter {mhz(carrier.hz)} on {unit}, and look at "
        f"{sender} too.",
        (unit, *(link.id for link in links), *(link.tx for link in links if link.tx)),
        {"found_mhz": mhz(here), "carrier_mhz": mhz(carrier.hz), "off_khz": khz_number(abs(here - carrier.hz))},
        tuple(Mark(one.at, f"{link.id} is on {mhz(one.hz)}") for link, one in zip(links, sent, strict=True)),
    )
