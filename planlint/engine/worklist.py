"""What fits the minutes and hands there are.

Touches are all alike and cannot be halved: hands times the whole touches one person does in the minutes. Findings
stand in order of harm, severity, fewest touches, then as they are printed. In that order each takes the way that
adds the fewest touches to those already in hand (a unit in hand costs nothing more), until the first that does not fit.
What is then left of the time is offered to the findings behind it, in the same order. So more minutes or hands never
drop one that fitted in order; one from behind may give way to a worse one. It is a plain order and no optimum:
the worst thing is never traded for several small ones.

Not in the sum, for no plan writes it: walking, finding whoever wears a pack, choosing the new carrier.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import NamedTuple

from planlint.engine.report import Report
from planlint.engine.triage import spots
from planlint.facts.hands import Rate, usual
from planlint.finding import HARMS, SEVERITIES, Finding, Spot, Touch

Done = frozenset[tuple[str, str | None]]


class Item(NamedTuple):
    """One finding in the list of work.

    Attributes:
        at: its place in the report's findings, from 0.
        touches: what it adds to the touches in hand before it.
        where: where its touches are, those in hand before it included.
    """

    at: int
    touches: tuple[Touch, ...]
    where: tuple[Spot, ...]


class Worklist(NamedTuple):
    """What fits and what does not.

    Attributes:
        minutes: the time there is.
        hands: the people there are.
        rate: minutes a touch.
        room: touches that fit.
        do: what fits, in order.
        also: what the time left over is enough for.
        leave: what does not fit; `touches` counts from what is in hand by then.
        uncounted: findings that touch no unit, by index, in order: no minutes are claimed for them.
    """

    minutes: float
    hands: int
    rate: Rate
    room: int
    do: tuple[Item, ...]
    also: tuple[Item, ...]
    leave: tuple[Item, ...]
    uncounted: tuple[int, ...]

    @property
    def touches(self) -> int:
        """The touches of everything that fits."""
        return sum(len(item.touches) for item in (*self.do, *self.also))


def worklist(report: Report, minutes: float, hands: int) -> Worklist:
    """Choose what fits.

    Args:
        report: a run over one show.
        minutes: how long there is, 0 or more.
        hands: how many people, 1 or more.
    """
    rate = next((head.rate for head in report.heads if head.rate), None) or usual()
    room = hands * int(Decimal(str(minutes)) // Decimal(str(rate.min_per_unit)))
    order = sorted((index for index in range(len(report.findings)) if _open(report, index)), key=_key(report))
    do: list[Item] = []
    also: list[Item] = []
    leave: list[Item] = []
    done: Done = frozenset()
    for index in order:
        if not _ways(report.findings[index]):
            continue
        item = _cheapest(report.findings[index], index, done)
        if len(done) + len(item.touches) > room:
            leave.append(item)
            continue
        (also if leave else do).append(item)
        done |= {(touch.unit, touch.entry) for touch in item.touches}
    left = [_cheapest(report.findings[item.at], item.at, done) for item in leave]
    also += [item for item in left if not item.touches]  # by now its units are in hand for others
    left = [item for item in left if item.touches]
    uncounted = tuple(index for index in order if not _ways(report.findings[index]))
    return Worklist(minutes, hands, rate, room, tuple(do), tuple(also), tuple(left), uncounted)


def _key(report: Report) -> Callable[[int], tuple[int, ...]]:
    def key(index: int) -> tuple[int, ...]:
        finding = report.findings[index]
        harm = HARMS.index(finding.triage.harm) if finding.triage else len(HARMS)
        fewest = min(map(len, _ways(finding)), default=0)
        return harm, SEVERITIES.index(finding.severity), fewest, index

    return key


def _open(report: Report, index: int) -> bool:
    return report.findings[index].waived is None


def _ways(finding: Finding) -> tuple[tuple[Touch, ...], ...]:
    return finding.triage.ways if finding.triage else ()


def _cheapest(finding: Finding, index: int, done: Done) -> Item:
    """Return the way that adds the fewest touches; among equals the first."""
    ways = _ways(finding)
    added = [tuple(touch for touch in way if (touch.unit, touch.entry) not in done) for way in ways]
    best = min(range(len(ways)), key=lambda at: len(added[at]))
    return Item(index, added[best], spots(ways[best]))
