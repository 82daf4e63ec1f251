"""Waivers: which findings a plan's own words accept, and what became of each waiver."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

from planlint.document import Span, Trouble
from planlint.finding import Finding, Waived
from planlint.plan import Plan, Resolved
from planlint.plan.model import Waiver
from planlint.rules.registry import by_id
from planlint.rules.waivers_view import Exceeded, Outcome, has_reason

_ROUTES = frozenset({"coordinated", "distance", "indoor"})


class AfterWaivers(NamedTuple):
    """Findings after the waivers of one plan, and the outcome of each waiver."""

    findings: tuple[Finding, ...]
    outcomes: tuple[Outcome, ...]


def waive(plan: Plan, findings: Iterable[Finding], resolved: Resolved) -> AfterWaivers:
    """Apply a plan's waivers to its findings.

    A waiver covers a finding when the rule is the same, every id in `covers` is among the subjects, and no
    accepted value is exceeded. One that is expired, has no reason, or is about law that was read covers nothing.
    """
    matched: dict[str, int] = {}
    exceeded: dict[str, list[Exceeded]] = {}
    refused: dict[str, str] = {}
    covering: list[tuple[Finding, list[Waiver]]] = []
    for finding in findings:
        willing = []
        for waiver in plan.waivers:
            if waiver.rule != finding.rule or not set(waiver.covers) <= set(finding.subjects) or not waiver.covers:
                continue
            matched[waiver.at] = matched.get(waiver.at, 0) + 1
            why_not = _refusal(waiver, finding)
            if why_not:
                refused[waiver.at] = why_not
                continue
            exceeded.setdefault(waiver.at, []).extend(_worse(waiver, finding))
            if has_reason(waiver) and in_force(waiver, plan):
                willing.append(waiver)
        covering.append((finding, willing))
    done = []
    for finding, willing in covering:  # one exceeded finding, and the waiver covers none of them
        cover = next((waiver for waiver in willing if not exceeded[waiver.at]), None)
        done.append(finding._replace(waived=_record(cover, resolved)) if cover else finding)
    outcomes = tuple(
        Outcome(
            plan.file, plan.date, waiver, matched.get(waiver.at, 0), tuple(exceeded.get(waiver.at, ())),
            refused.get(waiver.at), in_force(waiver, plan),
        )
        for waiver in plan.waivers
    )  # fmt: skip
    return AfterWaivers(tuple(done), outcomes)


def unknown_names(plan: Plan, resolved: Resolved) -> Iterator[tuple[str, Trouble]]:
    """Yield, by file, a trouble for each waiver that names no rule, or accepts a value its rule does not have."""
    for waiver in plan.waivers:
        if waiver.rule is None:
            continue
        loaded = by_id().get(waiver.rule)
        if loaded is None:
            yield _trouble(resolved, f"{waiver.at}/rule", waiver.rule, "rules", _nearest(waiver.rule, by_id()))
            continue
        for name in waiver.accept:
            if name not in loaded.rule.accept:
                near = _nearest(name, loaded.rule.accept)
                yield _trouble(resolved, f"{waiver.at}/accept/{name}", name, f"the values of {waiver.rule}", near)


def _nearest(word: str, known: Iterable[str]) -> str | None:
    from planlint.schema.describe import nearest

    return nearest(word, known)


def _trouble(resolved: Resolved, at: str, name: str, space: str, near: str | None) -> tuple[str, Trouble]:
    place = resolved.place(at, key="/accept/" in at)
    span = Span(place.line, place.column, place.end_line, place.end_column)
    values = {"id": name, "space": space} | ({"near": near} if near else {})
    return place.file, Trouble("unknown-id", span, place.pointer, values)


def in_force(waiver: Waiver, plan: Plan) -> bool:
    """Say whether a waiver's last day is not past; with `until` and no show date it cannot be known, so no."""
    return waiver.until is None or (plan.date is not None and plan.date <= waiver.until)


def _refusal(waiver: Waiver, finding: Finding) -> str | None:
    if not finding.waivable:
        return "law that was read, or a broken file: it cannot be waived"
    if finding.rule == "occupied-tv-channel" and waiver.by_route not in _ROUTES:
        return "it is waived only with by_route: coordinated, distance or indoor"
    return None


def _worse(waiver: Waiver, finding: Finding) -> list[Exceeded]:
    directions: Mapping[str, str] = by_id()[finding.rule].rule.accept
    found = []
    for name, bound in waiver.accept.items():
        value = finding.values.get(name)
        if name not in directions or isinstance(value, str) or value is None or isinstance(bound, str):
            continue
        now, accepted = Decimal(str(value)), Decimal(bound)
        if (now < accepted) if directions[name] == "lower" else (now > accepted):
            found.append(Exceeded(name, value, float(bound) if accepted % 1 else int(accepted)))
    return found


def _record(waiver: Waiver, resolved: Resolved) -> Waived:
    place = resolved.place(waiver.at)
    return Waived(waiver.because or "", waiver.by or "", waiver.until, waiver.by_route, place)
