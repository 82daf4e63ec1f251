"""The report for people: what was judged, the findings with the line they stand on, and what was not checked."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator

from planlint.engine.report import Head, Report
from planlint.finding import Finding, Place
from planlint.output.paint import Paint, harmless
from planlint.output.unchecked import fold

Lines = Callable[[str], list[str]]
WIDTH = 100
_TAB = "    "


def render(report: Report, lines_of: Lines, paint: Paint) -> str:
    """Return the report as text.

    Args:
        report: the result of a run.
        lines_of: returns the lines of a file, for the frames.
        paint: colours, or not.
    """
    blocks = heads(report, paint)
    blocks += ["\n".join(_finding(finding, lines_of, paint)) for finding in report.findings if finding.waived is None]
    waived = [finding for finding in report.findings if finding.waived is not None]
    if waived:
        blocks.append("\n".join(_waived(finding, paint) for finding in waived))
    blocks.append(foot(report, paint))
    return "\n\n".join(blocks) + "\n"


def heads(report: Report, paint: Paint) -> list[str]:
    """Return what was judged and what was passed over, a block each."""
    return [
        *(_head(head, paint) for head in report.heads),
        *(f"{name}: no plan file (it has no plan_format), passed over" for name in map(harmless, report.passed_over)),
    ]


def foot(report: Report, paint: Paint) -> str:
    """Return what was not checked and the counts, as one block."""
    return "\n".join([*fold(report.not_checked), *_summary(report, paint)])


def _head(head: Head, paint: Paint) -> str:
    title = head.title or head.file
    date = head.date or "no date written"
    region = head.region or "no region written"
    links = f"{head.links} link{'' if head.links == 1 else 's'}"
    first = f"{paint(harmless(title), 'strong')} · {date} · region {harmless(region)} · {links}"
    second = [paint(harmless(head.file), "faint")] if head.title else []
    if head.assumed_khz:
        second.append(f"emission width not written: taken as {head.assumed_khz} kHz")
    if head.unjudged:
        second.append(f"NOT JUDGED: {harmless(head.unjudged)}")
    return first + ("\n" + " · ".join(second) if second else "")


def _finding(finding: Finding, lines_of: Lines, paint: Paint) -> Iterator[str]:
    place = finding.place
    title = f"{paint(finding.severity, finding.severity)} {paint(finding.rule, 'strong')}"
    yield f"{title}  {harmless(place.file)}:{place.line}:{place.column}"
    yield from textwrap.wrap(harmless(finding.message), WIDTH, initial_indent="  ", subsequent_indent="  ")
    yield from _frame(place, "", lines_of, lambda text: paint(text, finding.severity))
    for related in finding.related:
        yield from _frame(related.place, related.label, lines_of, lambda text: paint(text, "faint"), place.file)
    if finding.fix:
        yield f"  do: {harmless(finding.fix)}"


def _frame(place: Place, label: str, lines_of: Lines, colour: Callable[[str], str], beside: str = "") -> Iterator[str]:
    """Yield the line of a place with what is meant underlined; a long line is cut to a window around it.

    `beside` is the file whose line was shown before: another file is named.
    """
    lines = lines_of(place.file)
    if not 1 <= place.line <= len(lines):
        return
    line = lines[place.line - 1]
    start = min(place.column, len(line) + 1) - 1
    end = place.end_column - 1 if place.end_line == place.line else len(line)
    before, marked, after = (
        _shown(part) for part in (line[:start], line[start : max(end, start + 1)] or " ", line[max(end, start + 1) :])
    )
    if _columns(before + marked + after) > WIDTH:
        marked = marked[: WIDTH // 2]
        before = before if len(before) <= WIDTH // 2 else "…" + before[-WIDTH // 2 :]
        room = max(WIDTH - len(before) - len(marked), 0)
        after = after if len(after) <= room else after[:room] + "…"
    where = f"  {harmless(place.file)}" if label and place.file != beside else ""
    yield f"{place.line:>6} | {before}{marked}{after}"
    tail = f" {harmless(label)}{where}" if label else ""
    yield f"{'':>6} | {' ' * _columns(before)}{colour('~' * max(1, _columns(marked)))}{tail}"


def _shown(text: str) -> str:
    return harmless(text).replace("\t", _TAB)


def _columns(text: str) -> int:
    """Return how many terminal columns a text takes (Unicode Standard Annex 11: wide and fullwidth are two)."""
    from unicodedata import combining, east_asian_width

    return sum(0 if combining(letter) else 2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def _waived(finding: Finding, paint: Paint) -> str:
    waived = finding.waived
    if waived is None:
        return ""
    until = f", until {waived.until}" if waived.until else ""
    place = f"{finding.place.file}:{finding.place.line}"
    return (
        f"{paint('waived', 'faint')} {finding.rule}  {harmless(place)}  {harmless(', '.join(finding.subjects))}: "
        f"{harmless(waived.because)} ({harmless(waived.by)}{until})"
    )


def _summary(report: Report, paint: Paint) -> Iterator[str]:
    counts = report.counts
    parts = []
    for severity, number in (("error", counts.error), ("warning", counts.warning), ("note", counts.note)):
        text = f"{number} {severity}{'' if number == 1 else 's'}"
        parts.append(paint(text, severity) if number else text)
    yield ", ".join(parts) + f", {counts.waived} waived"
    yield (
        f"rules: {counts.rules_run} ran, {counts.rules_not_checked} lacked facts, {counts.rules_off} off. "
        "This says what was checked and found, no more."
    )
