"""A carrier outside the pass band of a part that it goes through.

What goes wrong: the unit tunes there, and the combiner, filter or antenna in between was bought for another band. The
link works in the shop at two metres and not on the stage. The carrier counts, the band's ends are included.

Bad::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter}
      cmb-8: {role: combiner, ways: 8, passband_mhz: {low: 470.000, high: 608.000}}
    devices: {TX-5: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-8}}
    antennas: {paddle: {for: ear, through: CMB-A, passband_mhz: {low: 520.000, high: 700.000}}}
    links: {drums: {kind: ear, tx: TX-5, carrier_mhz: 478.200}}

Good::

    plan_format: 1
    kind: plan
    models:
      tx-n: {role: ear-transmitter}
      cmb-8: {role: combiner, ways: 8, passband_mhz: {low: 470.000, high: 608.000}}
    devices: {TX-5: {model: tx-n, into: CMB-A}, CMB-A: {model: cmb-8}}
    antennas: {paddle: {for: ear, through: CMB-A, passband_mhz: {low: 470.000, high: 700.000}}}
    links: {drums: {kind: ear, tx: TX-5, carrier_mhz: 478.200}}

Source: the parts' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts import Facts
from planlint.facts.chain import pass_bands
from planlint.facts.route import Route, Way, route
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device, Link
from planlint.plan.quantity import khz_number, mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.tuning import judged

RULE = Rule(severity="error", group="link", source="the parts' data sheets", accept={"outside_khz": "higher"})


class _Socket(NamedTuple):
    device: Device
    way: Way


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each part of a link's chains that does not pass its carrier."""
    if not plan.links:
        yield Unchecked(("/links",))
    for name in sorted(plan.links):
        link = plan.links[name]
        if link.wants_carrier and name not in facts.carriers:
            yield Unchecked((link.carrier_at,), (name,))
    for link, carrier in judged(plan):
        sockets = list(_sockets(plan, link))
        if not sockets:
            yield Unchecked((f"{link.at}/{'rx' if link.kind == 'mic' else 'tx'}",), (link.id,))
        for socket in sockets:
            found = route(plan, socket.device, socket.way, link.kind)
            if found.needs:
                yield Unchecked(found.needs, (link.id, socket.device.id))
            yield from _parts(plan, link, carrier, found)


def _sockets(plan: Plan, link: Link) -> Iterator[_Socket]:
    """Yield the units of a link that have an antenna socket in a rack: its transmitter and its receiver."""
    if link.tx and link.tx in plan.devices:
        yield _Socket(plan.devices[link.tx], "out")
    if link.rx and link.rx in plan.devices:
        yield _Socket(plan.devices[link.rx], "in")


def _parts(plan: Plan, link: Link, carrier: int, found: Route) -> Iterator[Fault | Unchecked]:
    for part, band, at in pass_bands(plan, found):
        if band is None:
            yield Unchecked((at,), (link.id, part))
        elif not band.low_hz <= carrier <= band.high_hz:
            outside = max(band.low_hz - carrier, carrier - band.high_hz)
            yield Fault(
                link.carrier_at,
                f"{link.id} {mhz(carrier)}: {part} passes {mhz(band.low_hz)}-{mhz(band.high_hz)} only, and {found.device} goes "
                f"through it: {mhz(outside)} MHz outside, weaker by an unknown amount. Choose a carrier that every part "
                f"passes, at both ends, or put a part for this band in place of {part}.",
                (link.id, found.device, part),
                {"carrier_mhz": mhz(carrier), "outside_khz": khz_number(outside)},
                (Mark(at, f"{part} passes this"),),
            )
