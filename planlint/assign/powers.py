"""What the region's rows say about one link's power and width at carriers it does not stand on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planlint.facts.licences import licences
from planlint.facts.power import permission
from planlint.facts.verdict import verdict
from planlint.plan.model import Link
from planlint.plan.quantity import khz, to_hz

if TYPE_CHECKING:
    from planlint.facts import Facts

#: A rule, why in words, and whether it is no reason to move a link that stands there.
Fault = tuple[str, str, bool]


def power_faults(facts: Facts, link: Link, carriers_hz: Sequence[int]) -> list[tuple[Fault, ...]]:
    """Return, for each of some rising carriers in Hz, what the rows' classes, powers and widths say against it.

    Between the edges of rows and licences the answer changes only with the loss of the cables, which rises with
    frequency: where both ends of such a stretch agree, all of it does.
    """
    if facts.plan.region is None:
        return [()] * len(carriers_hz)
    cuts = _cuts(facts, link)
    answers: list[tuple[Fault, ...]] = []
    start = 0
    while start < len(carriers_hz):
        stop = start + 1
        zone = _zone(cuts, carriers_hz[start])
        while stop < len(carriers_hz) and _zone(cuts, carriers_hz[stop]) == zone:
            stop += 1
        stretch = carriers_hz[start:stop]
        first, last = _at(facts, link, stretch[0]), _at(facts, link, stretch[-1])
        same = [rule for rule, *_ in first] == [rule for rule, *_ in last]
        answers += [first] * len(stretch) if same else [_at(facts, link, carrier) for carrier in stretch]
        start = stop
    return answers


def _cuts(facts: Facts, link: Link) -> list[int]:
    region = facts.plan.region
    assert region is not None
    edges = {edge for row in region.rows for edge in (row.low_hz, row.high_hz)}
    edges |= {edge for closed in region.closed for edge in (closed.low_hz, closed.high_hz)}
    for _, spec in licences(facts.plan):
        edges |= {to_hz(spec[key], "mhz") for key in ("low_mhz", "high_mhz") if key in spec}
    width = facts.widths[link.id]
    reach = (0, width // 2, -((width + 1) // 2), -(width // 2), (width + 1) // 2)
    return sorted({edge + by + past for edge in edges for by in reach for past in (0, 1)})


def _zone(cuts: list[int], carrier_hz: int) -> int:
    from bisect import bisect_right

    return bisect_right(cuts, carrier_hz)


def _at(facts: Facts, link: Link, carrier_hz: int) -> tuple[Fault, ...]:
    from planlint.facts import Facts as Fresh

    moved = link._replace(carrier_hz=carrier_hz, auto=False, unused=None)
    plan = facts.plan._replace(links={**facts.plan.links, link.id: moved})
    trial = Fresh(plan)
    found: list[Fault] = []
    said = verdict(plan, trial, moved)
    if said is not None and said.answer == "closed":
        rows = ", ".join(sorted({row.licence_class for row in said.permission.closed}))
        found.append(("licence-missing-for-power", f"for holders of a licence only (class {rows})", False))
    elif said is not None and said.answer == "licence":
        found.append(("licence-missing-for-power", "its power needs a licence there", True))
    elif said is not None and said.answer == "over":
        found.append(("eirp-over-limit", "its power is over the limit there", True))
    may = permission(plan, trial, moved)
    if may is not None and link.id not in trial.assumed_widths:
        rows_here = (*may.applies, *may.unknown) or may.closed
        width = trial.widths[link.id]
        if not any(row.max_emission_hz is None or width <= row.max_emission_hz for row in rows_here):
            found.append(("emission-too-wide", f"{khz(width)} kHz are wider than the band allows there", True))
    return tuple(found)
