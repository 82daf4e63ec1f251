"""Links whose transmitters leak into each other: which of them share a combiner of low isolation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planlint.facts.route import way_out

if TYPE_CHECKING:
    from planlint.facts import Facts

#: Below this isolation of its inputs in dB. Common practice, no source.
LOW_ISOLATION_DB = 30.0
#: Through such a combiner carriers keep this many times the house's spacing. Common practice, no source.
SPACINGS = 2


def leaky_boxes(facts: Facts) -> dict[str, str]:
    """Return for each used link that is sent through a combiner of low isolation the first such device."""
    found = {}
    for name, link in facts.plan.links.items():
        device = facts.plan.devices.get(link.tx) if link.used and link.tx and link.kind != "mic" else None
        if device is None:
            continue
        way = way_out(facts.plan, device, link.kind)
        model = facts.plan.devices[way.boxes[0]].model if way.boxes else None
        isolation = model.spec.get("isolation_db") if model else None
        if isolation is not None and float(isolation) < LOW_ISOLATION_DB:
            found[name] = way.boxes[0]
    return found
