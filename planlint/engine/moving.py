"""Where a dying link goes, judged by the rules before anybody sees it; and what the rules say of spares."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from planlint.assign.ask import Way, way_out
from planlint.assign.proposal import Move
from planlint.engine.propose import Opened, findings_of, key_of, moved_values
from planlint.finding import Finding

_TRIES = 8
_SPARES = "spares_mhz"


class Checked(NamedTuple):
    """A way out, and what the rules say of it.

    Attributes:
        way: where the link goes.
        brings: errors and warnings of the links that move which the plan did not show before.
        spares: the same of spares: they are no longer clear once the link has moved.
    """

    way: Way
    brings: tuple[Finding, ...]
    spares: tuple[Finding, ...]


def checked_way_out(opened: Opened, name: str) -> Checked | None:
    """Return where a dying link goes; carriers that a rule speaks against are passed over while there is another.

    None where no carrier passes with everybody else where they are.
    """
    known = {key_of(finding) for finding in findings_of(opened, opened.resolved.values)}
    refused: dict[int, str] = {}
    first: Checked | None = None
    for _ in range(_TRIES):
        way = way_out(opened.facts, name, refused)
        if way is None:
            break
        found = _judged(opened, way, known)
        if not found.brings:
            return found
        first = first or found
        refused[way.carrier_hz] = f"{found.brings[0].rule} would speak"
    return first


def _judged(opened: Opened, way: Way, known: set[tuple[object, ...]]) -> Checked:
    moving = {way.link, *way.with_it}
    moves = tuple(Move(name, None, way.carrier_hz, (), (), ()) for name in sorted(moving))
    values = moved_values(opened.resolved, opened.facts, moves)
    kind = opened.facts.plan.links[way.link].kind
    if way.spare and kind is not None:
        left = [spare.carrier_hz for spare in opened.facts.plan.spares if spare.kind == kind]
        values = _with_spares(values, kind, [carrier for carrier in left if carrier != way.carrier_hz])
    new = [
        finding
        for finding in findings_of(opened, values)
        if finding.waived is None and finding.severity != "note" and key_of(finding) not in known
    ]
    return Checked(
        way,
        tuple(finding for finding in new if moving & set(finding.subjects) and not finding.rule.startswith("spare-")),
        tuple(finding for finding in new if finding.rule == "spare-breaks-plan"),
    )


def said_of_spares(opened: Opened, kind: str, carriers_hz: Sequence[int]) -> tuple[Finding, ...]:
    """Return the errors and warnings that the plan would show, and does not now, with other spares of a kind written."""
    known = {key_of(finding) for finding in findings_of(opened, opened.resolved.values)}
    values = _with_spares(dict(opened.resolved.values), kind, carriers_hz)
    return tuple(
        finding
        for finding in findings_of(opened, values)
        if finding.waived is None and finding.severity != "note" and key_of(finding) not in known
    )


def _with_spares(values: dict[str, Any], kind: str, carriers_hz: Sequence[int]) -> dict[str, Any]:
    spares = {**(values.get(_SPARES) or {}), kind: [Decimal(carrier) / 1_000_000 for carrier in carriers_hz]}
    return {**values, _SPARES: spares}
