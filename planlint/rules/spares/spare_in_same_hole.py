"""All spares of a kind in one TV channel.

What goes wrong: one new signal in that channel takes every spare at once, and whatever lives there as well. Two holes
are two chances.

Bad::

    plan_format: 1
    kind: plan
    spectrum: {tv_raster: us-6mhz}
    spares_mhz: {ear: [500.900, 505.300]}

Good::

    plan_format: 1
    kind: plan
    spectrum: {tv_raster: us-6mhz}
    spares_mhz: {ear: [500.900, 481.225]}

A single spare is no finding here; a carrier on the edge of two channels counts to the upper one.

Source: common practice, no source; channel edges by the region's raster.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spectrum import raster
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rf.tv import RASTERS, channel_edges_hz, channels
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import joined
from planlint.rules.spare_wording import KIND_WORDS, spares_of

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each kind all of whose spares, two or more, lie in one channel."""
    if "spares_mhz" not in plan.values:
        yield Unchecked(("/spares_mhz",))
        return
    name, at = raster(plan)
    if name is None or name not in RASTERS:
        yield Unchecked((at,))
        return
    for kind, word in KIND_WORDS.items():
        spares = spares_of(plan, kind)
        holes = {_channel(name, spare.carrier_hz) for spare in spares}
        hole = holes.pop() if len(holes) == 1 else None
        if hole is None or len(spares) < 2:
            continue
        live = sorted(
            link for link, carrier in facts.carriers.items() if link in plan.links and _channel(name, carrier) == hole
        )
        also = f", and {joined(live)} with them" if live else ""
        yield Fault(
            spares[0].at,
            f"all {len(spares)} spares for {word} ({joined(mhz(spare.carrier_hz) for spare in spares)}) lie in TV {hole}: one new "
            f"signal there takes them all{also}. Keep one in another channel.",
            tuple(live),
            {"channel": hole, "spares": len(spares)},
            tuple(Mark(spare.at, f"in TV {hole} too") for spare in spares[1:]),
        )


def _channel(name: str, carrier_hz: int) -> int | None:
    for number in channels(name):
        low, high = channel_edges_hz(name, number)
        if low <= carrier_hz < high:
            return number
    return None
