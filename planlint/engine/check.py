"""Files in, findings out: the whole run on one screen."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path

from planlint.config import Config
from planlint.engine.collect import Collector
from planlint.engine.order import arrange
from planlint.engine.report import Counts, Head, Report
from planlint.engine.select import SHOWS, select, shows_using
from planlint.engine.triage import triage
from planlint.engine.waive import unknown_names, waive
from planlint.facts import Facts
from planlint.facts.emission import unwritten_hz
from planlint.facts.hands import rate
from planlint.facts.scan_file import ScanFiles
from planlint.finding import Finding
from planlint.plan import Plan, Resolved, Shelf
from planlint.plan.quantity import khz
from planlint.plan.references import unknown
from planlint.rules.waivers_view import Outcome, Outcomes


def check(root: Path, paths: Sequence[Path], config: Config, shelf: Shelf | None = None) -> Report:
    """Judge the named files and every plan that uses them.

    Args:
        root: the root folder; no file outside it is read.
        paths: files and folders.
        config: what the crew chose.
        shelf: files of that root that were read already.

    Raises:
        NothingToCheckError: the paths name nothing that can be judged.
    """
    shelf = shelf or Shelf(root)
    scan_files = ScanFiles(shelf.root)
    selection = select(shelf, paths, config.skip)
    run = Collector(config)
    heads: list[Head] = []
    findings: list[Finding] = []
    outcomes: list[tuple[Outcome, Resolved]] = []
    plans: dict[str, Plan] = {}
    for file in selection.files:
        run.file(shelf.judged(file), file)
    for file in selection.plans:
        resolved = shelf.resolved(file)
        for judged in resolved.files:
            run.file(judged, file)
        run.troubles(resolved, resolved.troubles)
        plan = shelf.plan(file)
        why_not = unjudged(resolved)
        facts = Facts(plan, partial(siblings, shelf, plan), scan_files)
        heads.append(_head(plan, facts, resolved, why_not))
        if why_not is None:
            plans[file] = plan
            run.troubles(resolved, (*unknown(plan, resolved), *unknown_names(plan, resolved)))
            waived = waive(plan, run.plan(plan, facts, resolved), resolved)
            findings += waived.findings
            outcomes += [(outcome, resolved) for outcome in waived.outcomes]
    judged_plans = {outcome.plan for outcome, _ in outcomes} | set(selection.plans)
    findings += run.waivers(_by_home(outcomes, shelf, judged_plans, run.without_record()))
    findings += run.file_findings
    arranged = triage(arrange(findings), plans.get)
    return Report(
        heads=tuple(heads),
        files=tuple(sorted(run.files_seen)),
        passed_over=selection.passed_over,
        findings=arranged,
        not_checked=run.not_checked(),
        counts=_counts(arranged, run),
        off=run.off,
        ran=run.ran(),
        fatal=run.fatal,
    )


def siblings(shelf: Shelf, plan: Plan) -> tuple[Plan, ...] | None:
    """Return the other venues of a venue's tour, by file; None without a tour, or where one cannot be read."""
    tour = next(
        (file for file in _files(shelf, plan.file) if shelf.judged(file).kind == "tour" and file != plan.file), None
    )
    if tour is None or any(_may_be_a_broken_venue(shelf, file, tour) for file in shelf.plan_files()):
        return None
    others = [file for file in shows_using(shelf, tour) if file != plan.file]
    if any(unjudged(shelf.resolved(file)) for file in others):
        return None
    return tuple(shelf.plan(file) for file in others)


def _files(shelf: Shelf, file: str) -> list[str]:
    return [judged.document.file for judged in shelf.resolved(file).files]


def _may_be_a_broken_venue(shelf: Shelf, file: str, tour: str) -> bool:
    return posixpath.basename(tour) in shelf.text(file) and shelf.document(file).fatal


def unjudged(resolved: Resolved) -> str | None:
    """Say why a plan's rules were not run, or None: with a file missing, every id would seem unknown."""
    for judged in resolved.files:
        if judged.fatal:
            return f"{judged.document.file} gives no document"
        if not judged.kind:
            return f"{judged.document.file} has no known kind"
    kinds = {judged.kind for judged in resolved.files}
    if resolved.kind == "as-set" and not kinds & SHOWS:
        return "it uses no venue or plan"
    if "venue" in kinds and "tour" not in kinds:
        return "it uses no tour" if resolved.kind == "venue" else "its venue uses no tour"
    if resolved.troubles and any(trouble.rule != "key-twice" for _, trouble in resolved.troubles):
        return "its uses could not be resolved"
    return None


def _head(plan: Plan, facts: Facts, resolved: Resolved, why_not: str | None) -> Head:
    show, tour = plan.show, plan.section("tour")
    words = [tour.get("act"), show.get("place"), show.get("town")]
    title = ", ".join(str(word) for word in words if word) or show.get("id")
    return Head(
        file=resolved.file,
        kind=resolved.kind,
        title=str(title) if title else None,
        date=plan.date,
        region=plan.region_id,
        links=sum(1 for link in plan.links.values() if link.used),
        assumed_khz=khz(unwritten_hz()) if why_not is None and facts.assumed_widths else None,
        unjudged=why_not,
        rate=rate(plan) if why_not is None else None,
    )


def _by_home(
    outcomes: Iterable[tuple[Outcome, Resolved]], shelf: Shelf, judged: set[str], unjudged_rules: frozenset[str]
) -> list[tuple[Outcomes, Resolved]]:
    """Put the outcomes of one written waiver together over all plans that share its file."""
    homes: dict[tuple[str, int], list[tuple[Outcome, Resolved]]] = {}
    for outcome, resolved in outcomes:
        home = resolved.waiver_homes[int(outcome.waiver.at.rpartition("/")[2])]
        homes.setdefault(home, []).append((outcome, resolved))
    found = []
    for (file, _), members in sorted(homes.items()):
        users = {file} if shelf.judged(file).kind in SHOWS else set(shows_using(shelf, file)) or {file}
        complete = users <= judged and members[0][0].waiver.rule not in unjudged_rules
        together = Outcomes(tuple(outcome for outcome, _ in members), complete)
        found.append((together, members[0][1]))
    return found


def _counts(findings: Sequence[Finding], run: Collector) -> Counts:
    open_ones = [finding.severity for finding in findings if finding.waived is None]
    not_checked = {entry.rule for entry in run.not_checked()}
    return Counts(
        error=open_ones.count("error"),
        warning=open_ones.count("warning"),
        note=open_ones.count("note"),
        waived=sum(1 for finding in findings if finding.waived is not None),
        rules_run=len(run.ran()),
        rules_not_checked=len(not_checked),
        rules_off=len(run.off),
    )
