"""Proposals: a repair searched, and judged by the rules before anybody sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from planlint.assign.clock import Clock
from planlint.assign.proposal import Move, Proposal
from planlint.assign.repair import Repair
from planlint.config import Config
from planlint.engine.collect import Collector
from planlint.engine.single import open_one
from planlint.engine.waive import waive
from planlint.facts import Facts
from planlint.facts.scan_file import ScanFiles
from planlint.finding import Finding
from planlint.plan import Resolved, Shelf, build

_ROUNDS = 30
#: A spare beside a moved link may no longer be clear: that is said, and a spare is nobody's carrier yet.
SPARE_RULES = frozenset({"spare-breaks-plan", "spare-in-same-hole", "spare-carrier-missing"})
#: What any move may bring, whatever the carriers: other carriers would not help, so it is said and no more.
_WORK_RULES = frozenset({"not-enough-hands"})
_BESIDES = SPARE_RULES | _WORK_RULES


class Opened(NamedTuple):
    """One venue or plan, with what is needed to judge other carriers in it."""

    shelf: Shelf
    file: str
    resolved: Resolved
    facts: Facts
    config: Config


class Answer(NamedTuple):
    """A proposal, and what the rules say of it.

    Attributes:
        proposal: the proposal.
        brings: errors and warnings of the moved links that the plan did not show before.
        besides: of those what other carriers would not change: spares that are no longer clear, and the work.
    """

    proposal: Proposal
    brings: tuple[Finding, ...]
    besides: tuple[Finding, ...]


def open_for_proposals(root: Path, path: Path, config: Config) -> Opened:
    """Open one venue or plan file.

    Raises:
        NothingToCheckError: it is no such file, lies outside the root, or cannot be judged; the message says why.
    """
    one = open_one(root, path)
    return Opened(one.shelf, one.file, one.resolved, one.facts, config)


def propose(
    opened: Opened, *, seconds: float | None, seed: int = 0, progress: Callable[[str], None] = lambda _: None
) -> Answer:
    """Search the smallest repair that brings no new error or warning.

    Where the rules find something new on the moved links, that placing is forbidden and the search goes on.
    """
    before = list(findings_of(opened, opened.resolved.values))
    accepted = [
        (finding.rule, frozenset(finding.subjects))
        for finding in before
        if finding.waived is not None or (finding.severity == "note" and "ci_db" in finding.values)
    ]
    repair = Repair(opened.facts, accepted=accepted, clock=Clock(seconds), seed=seed, progress=progress)
    known = {key_of(finding) for finding in before}
    for _ in range(_ROUNDS):
        proposal = repair.run()
        new = _new(opened, proposal.moves, known) if proposal.moves else []
        brings = tuple(finding for finding in new if finding.rule not in _BESIDES)
        if not brings or proposal.out_of_time:
            break
        for finding in brings:
            links = {move.link: move.new_hz for move in proposal.moves if move.link in finding.subjects}
            repair.forbid(links)
        progress(f"{brings[0].rule} speaks against it; searching on")
    return Answer(proposal, brings, tuple(finding for finding in new if finding.rule in _BESIDES))


def moved_values(resolved: Resolved, facts: Facts, moves: tuple[Move, ...]) -> dict[str, Any]:
    """Return the plan's values with the moves made."""
    values = dict(resolved.values)
    for move in moves:
        section = facts.plan.links[move.link].entry_at.split("/")[1]
        there = values.get(section)
        there = dict(there) if isinstance(there, dict) else {}
        entry = dict(there.get(move.link, {}))
        entry["carrier_mhz"] = Decimal(move.new_hz) / 1_000_000
        stored = {group: str(number) for group, number in move.stored if number is not None}
        entry.pop("stored", None)
        there[move.link] = entry | ({"stored": stored} if stored else {})
        values[section] = there
    return values


def findings_of(opened: Opened, values: Mapping[str, Any]) -> Iterator[Finding]:
    """Yield what the rules say of a plan with other values, waivers applied."""
    resolved = opened.resolved._replace(values=dict(values))
    plan = build(resolved, opened.shelf)
    facts = Facts(plan, lambda: opened.facts.siblings, ScanFiles(opened.shelf.root))
    yield from waive(plan, Collector(opened.config).plan(plan, facts, resolved), resolved).findings


def _new(opened: Opened, moves: tuple[Move, ...], known: set[tuple[object, ...]]) -> list[Finding]:
    links = {move.link for move in moves}
    return [
        finding
        for finding in findings_of(opened, moved_values(opened.resolved, opened.facts, moves))
        if finding.waived is None
        and finding.severity != "note"
        and (links & set(finding.subjects) or finding.rule in _BESIDES)
        and key_of(finding) not in known
    ]


def key_of(finding: Finding) -> tuple[object, ...]:
    """Return what makes two findings of different runs the same."""
    return finding.rule, finding.subjects, finding.severity
