"""A press crew that is about while one of our carriers near theirs is off: it looks free to them.

What goes wrong: two news handhelds come at doors and take whatever is quiet. Our singer's carrier is off between sound
check and show; they find it, and stay. A carrier that is kept on until they go is not taken.

Bad::

    plan_format: 1
    kind: plan
    links: {vox: {kind: mic, carrier_mhz: 561.900}}
    spectrum: {others_on_air: {news: {carrier_mhz: 562.200, kind: mic, press: true, at: "18:30", until: "19:30"}}}
    day:
      - {what: sound check, at: "16:00", until: "18:00", on_air: [vox]}
      - {what: show, at: "20:00", until: "22:00", on_air: [vox]}

Good::

    plan_format: 1
    kind: plan
    links: {vox: {kind: mic, carrier_mhz: 561.900}}
    spectrum: {others_on_air: {news: {carrier_mhz: 562.200, kind: mic, press: true, at: "18:30", until: "19:30"}}}
    day:
      - {what: sound check, at: "16:00", until: "18:00", on_air: [vox]}
      - {what: doors, at: "18:30", until: "19:30", on_air: [vox]}
      - {what: show, at: "20:00", until: "22:00", on_air: [vox]}

Near is nearer than the house's spacing of like kinds. Before our first time on the air nothing is asked for.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.spacing import like, limit_hz
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Other
from planlint.plan.quantity import clock, khz, khz_number, mhz
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"spacing_khz": "lower"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link that is off, after it was on, while a press crew near it is about."""
    if "others_on_air" not in plan.section("spectrum"):
        yield Unchecked(("/spectrum/others_on_air",))
    crews = [plan.others[name] for name in sorted(plan.others) if plan.others[name].spec.get("press") is True]
    for crew in crews:
        if crew.carrier_hz is None and crew.self_tuned is not None:
            continue
        if crew.carrier_hz is None:
            yield Unchecked((crew.carrier_at,), (crew.id,))
            continue
        for name in sorted(plan.links):
            link = plan.links[name]
            if name not in facts.carriers or link.stands_in_for is not None:
                continue
            gap = abs(facts.carriers[name] - crew.carrier_hz)
            limit = limit_hz(plan, (like(link), like(link)), (facts.widths[name], facts.widths[crew.id]))
            off = _off(facts, link, crew) if gap < limit else None
            if off is not None:
                yield _fault(facts, link, crew, off, (gap, limit))


def _off(facts: Facts, link: Link, crew: Other) -> int | None:
    """Return the first minute at which the crew is about and the link, on before, is off; None where there is none."""
    spans = [(i.start_min, i.end_min, link.id in i.ids) for i in facts.intervals]
    known = [(start, end, on) for start, end, on in spans if start is not None and end is not None]
    begun = min((start for start, _, on in known if on), default=None)
    last = max((end for _, end, on in known if on), default=None)
    if begun is None or last is None:
        return None
    for start, end, on in known:
        since = max(start, begun, crew.start_min or 0)
        until = min(end, last, end if crew.end_min is None else crew.end_min)
        if not on and since < until:
            return since
    return None


def _fault(facts: Facts, link: Link, crew: Other, off: int, near: tuple[int, int]) -> Fault:
    until = f"until they go at {clock(crew.end_min)}" if crew.end_min is not None else "for as long as they are about"
    units = [unit for unit in (link.tx,) if unit]
    return Fault(
        link.carrier_at,
        f"{link.id} {mhz(facts.carriers[link.id])} is off at {clock(off)} while {crew.id}, {khz(near[0])} kHz beside it, looks for quiet "
        f"carriers. Keep {link.id} on {until}, and ask them where they mean to be.",
        (link.id, crew.id, *units),
        {"spacing_khz": khz_number(near[0]), "limit_khz": khz_number(near[1]), "off_at": clock(off)},
        (Mark(crew.carrier_at, f"{crew.id} is here"),),
    )
