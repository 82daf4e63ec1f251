"""Two plans in, their difference out: the values compared, and the rules run on both sides and on trials."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from typing import Any

from planlint.config import Config
from planlint.diff import diff
from planlint.diff import rows as between
from planlint.diff.air import PLACE_RULES, Trial, carriers, died, moves, same_number, unexplained
from planlint.diff.change import Change, Consequence
from planlint.diff.compare import renames_in
from planlint.diff.effect import Effect, effect, key
from planlint.diff.match import rename
from planlint.diff.origin import attach, cause_of, unit_of
from planlint.diff.result import Difference
from planlint.diff.safety import safety
from planlint.diff.side import Side
from planlint.diff.state import CARRIER, LIST, Touches, as_found, touches, wanted
from planlint.diff.tree import canonical
from planlint.document.nodes import split_pointer
from planlint.engine.check import check, siblings
from planlint.engine.collect import Collector
from planlint.engine.report import Report
from planlint.engine.waive import waive
from planlint.facts import Facts
from planlint.facts.scan_file import ScanFiles
from planlint.finding import SEVERITIES, Finding
from planlint.plan import Plan
from planlint.rules.registry import by_id

#: Links from which on the rules are not asked for all they have to say about each old carrier.
_LARGE = 40


class CannotCompareError(ValueError):
    """One side gives no plan; the message says which and why."""


def difference(old: Side, new: Side, config: Config) -> Difference:
    """Compare two plans.

    Args:
        old: the old side; of an as-set record, what was found is what the units hold.
        new: the new side.
        config: what the crew chose; it holds for the rules on both sides.

    Raises:
        CannotCompareError: a side gives no plan.
    """
    reports = [_report(side, config) for side in (old, new)]
    values = [_values(old, other=new), _values(new, other=old)]
    changes = diff(*values)
    before_values = values[0]
    for renamed in renames_in(changes):
        before_values = canonical(rename(before_values, renamed))
    plans = old.plan({**old.resolved.values, **before_values}), new.plan()
    names = {renamed.old: renamed.new for renamed in renames_in(changes)}
    found = {names.get(unit, unit): fields for unit, fields in old.found.items()}
    before, after = as_found(wanted(plans[0]), found), wanted(plans[1])
    touched = touches(before, after)
    gained = _effect(reports[0], reports[1], names)
    bench = _Bench(new, plans[1], reports[1], config)
    trials = tuple(bench.trials(moves(*plans), plans[0], changes))
    facts = Facts(plans[0], open_scan=ScanFiles(old.shelf.root)), bench.facts
    notices = (
        *safety(*plans, before, after),
        *carriers(plans[1], trials, _touched_by(touched, plans[1])),
        *died(plans[1], trials, gained),
        *same_number(*facts),
        *between.rows(*plans, before, after, touched),
    )
    needless = unexplained(plans[1], trials)
    told, loose = attach([_caused(change, old, new, plans, needless) for change in changes], notices)
    risks = _risks(gained, [*(item for change in told for item in change.consequences), *loose])
    counts = reports[1].counts
    lacking = counts.rules_not_checked
    return Difference(
        old, new, *plans, before, after, told, loose, touched, gained, risks, counts.rules_run, lacking
    )  # fmt: skip


def _values(side: Side, other: Side) -> dict[str, Any]:
    """Return what is compared: a record that is the starting state is no part of the plan."""
    values = side.values
    if side.record is None and other.record is not None:
        values.pop("found", None)
    return values


def _report(side: Side, config: Config) -> Report:
    root = side.shelf.root
    report = check(root, [root / side.file], config, side.shelf)
    if report.fatal:
        first = next((finding for finding in report.findings if finding.severity == "error"), None)
        why = f"{first.place.file}:{first.place.line}: {first.message}" if first else "it gives no document"
        raise CannotCompareError(f"{side.label}: {why}")
    if not side.resolved.kind:
        raise CannotCompareError(f"{side.label}: no plan file; a plan file begins with 'plan_format: 1' and its kind")
    unjudged = next((head.unjudged for head in report.heads if head.file == side.file and head.unjudged), None)
    if unjudged:
        raise CannotCompareError(f"{side.label}: {unjudged}; planlint check says more")
    return report


def _effect(old: Report, new: Report, names: Mapping[str, str]) -> Effect:
    several = max(len(old.heads), len(new.heads)) > 1
    return effect(old.findings, new.findings, names, lambda rule: by_id()[rule].rule.accept, by_plan=several)


def _touched_by(touched: Touches, plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return for each link the units whose carrier, and the lists whose entry, its move touches."""
    found: dict[str, list[str]] = {}
    for unit, fields in touched.fields.items():
        for field in fields:
            if field.startswith(LIST):
                found.setdefault(field.removeprefix(LIST), []).append(unit)
        if CARRIER in fields:
            for link in plan.links.values():
                if unit in {link.id, link.tx, link.rx, *(pack.id for pack in link.packs)}:
                    found.setdefault(link.id, []).append(unit)
    return {link: tuple(sorted(units)) for link, units in found.items()}


def _caused(change: Change, old: Side, new: Side, plans: tuple[Plan, Plan], needless: set[str]) -> Change:
    side, plan = (old, plans[0]) if change.kind == "removed" else (new, plans[1])
    cause = cause_of(change.pointer)
    if change.pointer.startswith("/waivers/") and _from_venue(side, change):
        cause = "venue"
    if change.pointer in needless and change.kind in {"modified", "swapped"}:
        cause = "unexplained"
    return change._replace(cause=cause, unit=unit_of(plan, change.pointer))


def _from_venue(side: Side, change: Change) -> bool:
    """Say whether a waiver stands in the venue's own file."""
    value = change.old if change.kind == "removed" else change.new
    covers = split_pointer(change.pointer)[1]
    for waiver, (file, _) in zip(side.resolved.values.get("waivers", ()), side.resolved.waiver_homes, strict=False):
        if waiver == value or " ".join([str(waiver.get("rule")), *sorted(waiver.get("covers", ()))]) == covers:
            return side.shelf.judged(file).kind == "venue"
    return False


def _risks(gained: Effect, consequences: Iterable[Consequence]) -> tuple[str, ...]:
    """Return the ids of new errors, of findings about law, hearing or an error that got worse, and of worse numbers."""
    ids = [finding.rule for finding in gained.new_errors]
    ids += [
        worse.finding.rule
        for worse in gained.worse
        if worse.finding.severity == "error" or by_id()[worse.finding.rule].rule.group in {"law", "hearing"}
    ]
    ids += [consequence.id for consequence in consequences if consequence.worse]
    return tuple(sorted(set(ids)))


class _Bench:
    """Puts old carriers back into the new plan, one at a time, and asks the rules."""

    def __init__(self, side: Side, plan: Plan, report: Report, config: Config) -> None:
        self._side = side
        self._config = config
        self._known = {key(finding) for finding in report.findings if finding.waived is None}
        self._scans = ScanFiles(side.shelf.root)
        self.facts = Facts(plan, partial(siblings, side.shelf, plan), self._scans)

    def trials(self, moved: Mapping[str, int], old: Plan, changes: Iterable[Change]) -> Iterator[Trial]:
        """Yield what the rules say about each old carrier; carriers that changed places go back together."""
        partners: dict[str, str] = {}
        for change in changes:
            if change.kind == "swapped" and change.other_pointer is not None:
                first, second = split_pointer(change.pointer)[1], split_pointer(change.other_pointer)[1]
                partners |= {first: second, second: first}
        for name in sorted(moved):
            partner = partners.get(name)
            back = [name, partner] if partner in moved and partner is not None else [name]
            yield Trial(name, moved[name], self._finding(self._with(back, old)))

    def _with(self, names: Iterable[str], old: Plan) -> dict[str, Any]:
        values = dict(self._side.resolved.values)
        for name in names:
            link, before = self.facts.plan.links[name], old.links[name]
            section = split_pointer(link.entry_at)[0]
            entry = {field: value for field, value in values[section][name].items() if field != "stored"}
            entry[CARRIER] = before.carrier_written
            values[section] = {**values[section], name: entry}
        return values

    def _finding(self, values: Mapping[str, Any]) -> Finding | None:
        """Return the finding that says most about why these values would not do, or None where there is none new.

        What the place says comes before what our own plan says, and what is worse before what is less so. In a
        large plan the first one found must do: a whole run for each of so many carriers takes minutes.
        """
        plan = self._side.plan(values)
        resolved = self._side.resolved._replace(values=dict(values))
        facts = Facts(plan, lambda: self.facts.siblings, self._scans)
        best: Finding | None = None
        for finding in Collector(self._config).plan(plan, facts, resolved):
            if key(finding) in self._known or waive(plan, [finding], resolved).findings[0].waived is not None:
                continue
            if best is None or _weight(finding) < _weight(best):
                best = finding
            if len(plan.links) > _LARGE:
                break
        return best


def _weight(finding: Finding) -> tuple[int, int]:
    place = PLACE_RULES.index(finding.rule) if finding.rule in PLACE_RULES else len(PLACE_RULES)
    return place, SEVERITIES.index(finding.severity)
