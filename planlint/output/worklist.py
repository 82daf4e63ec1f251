"""The list of work for people: what fits the time, in order, and what to leave."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from planlint.engine.report import Report
from planlint.engine.worklist import Item, Worklist
from planlint.finding import Finding, Spot, Touch
from planlint.output.as_text import WIDTH, foot, heads
from planlint.output.paint import Paint, harmless

_NEXT = 3


def render(report: Report, work: Worklist, paint: Paint) -> str:
    """Return the list as text.

    Args:
        report: the result of a run.
        work: what was chosen.
        paint: colours, or not.
    """
    blocks = [*heads(report, paint), "\n".join(_time(work))]
    fitting = [*work.do, *work.also]
    blocks += ["\n".join(_do(report, work, number, paint)) for number in range(len(fitting))]
    if not fitting:
        blocks.append("Nothing that touches a unit fits.")
    for title, indices, minutes in (
        ("Leave: it does not fit", [item.at for item in work.leave], [_minutes(work, item) for item in work.leave]),
        ("No unit to touch, so not in the minutes", list(work.uncounted), []),
    ):
        if indices:
            lines = [_line(report.findings[index], paint) for index in indices]
            costs = [f" · {each} more" for each in minutes] or [""] * len(lines)
            blocks.append("\n".join([title + ":", *map("".join, zip(lines, costs, strict=True))]))
    blocks.append(foot(report, paint))
    return "\n\n".join(blocks) + "\n"


def _time(work: Worklist) -> Iterator[str]:
    rate = f"{work.rate.min_per_unit:g} min a unit or list entry"
    source = "policy.hands_min_per_unit" if work.rate.house else "default, common practice, no source"
    yield f"{work.minutes:g} min, {_count(work.hands, 'person', 'people')}: {_count(work.room, 'touch', 'touches')} at {rate} ({source})"
    yield (
        f"taken: {work.touches}. An estimate: walking, finding whoever wears a pack and choosing a new carrier are not in it; "
        "a unit already in hand costs nothing more."
    )
    yield "Ears out or packs at minimum before any carrier moves or any transmitter goes off."


def _do(report: Report, work: Worklist, number: int, paint: Paint) -> Iterator[str]:
    fitting = [*work.do, *work.also]
    item, finding = fitting[number], report.findings[fitting[number].at]
    if work.also and number == len(work.do):
        yield "In the time that is left:"
    where = ", ".join(map(spot_words, item.where))
    place = f"{harmless(finding.place.file)}:{finding.place.line}"
    yield f"{number + 1}. {paint(harmless(where), 'strong')} · {_minutes(work, item)}{_touched(item.touches)}"
    harm = finding.triage.harm if finding.triage else ""
    yield f"   {paint(finding.severity, finding.severity)} {finding.rule} ({harm})  {place}"
    yield from textwrap.wrap(harmless(finding.message), WIDTH, initial_indent="   ", subsequent_indent="   ")


def _line(finding: Finding, paint: Paint) -> str:
    harm = finding.triage.harm if finding.triage else ""
    place = f"{harmless(finding.place.file)}:{finding.place.line}"
    about = harmless(", ".join(finding.subjects[:_NEXT]) + (" …" if len(finding.subjects) > _NEXT else ""))
    severity = paint(finding.severity, finding.severity)
    return f"  {severity} {finding.rule} ({harm})  {place}" + (f"  {about}" if about else "")


def _minutes(work: Worklist, item: Item) -> str:
    return f"{len(item.touches) * work.rate.min_per_unit:g} min"


def _touched(touches: Iterable[Touch]) -> str:
    units = [touch.unit for touch in touches if touch.entry is None]
    entries = [f"entry {touch.entry} in {touch.unit}'s list" for touch in touches if touch.entry is not None]
    named = harmless(", ".join([*units, *entries]))
    return f" at {named}" if named else ", its units are in hand already"


def spot_words(spot: Spot) -> str:
    """Return a place in words: `rack A`, `vox`, `antenna mic-a`."""
    return spot.id if spot.kind in {"person", "unit"} else f"{spot.kind} {spot.id}"


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
