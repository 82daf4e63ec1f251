"""Running rules and turning what they yield into findings with places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planlint.config import Config
from planlint.document import Trouble
from planlint.facts import Facts
from planlint.facts.limits import switched_off
from planlint.finding import Fault, Finding, NotChecked, Place, Related, Unchecked
from planlint.plan import Plan, Resolved
from planlint.rules.registry import Loaded, all_rules
from planlint.rules.waivers_view import Outcomes
from planlint.schema.judge import Judged

#: What a show without a record lacks. Most shows have none yet: it counts only where no plan of the run has one.
_RECORD = ("/found",)


class Collector:
    """Keeps account of one run: which rules ran, which lacked facts, and what the files themselves showed."""

    def __init__(self, config: Config) -> None:
        self._config = config
        self._rules = [loaded for loaded in all_rules() if config.runs(loaded)]
        self._off = {loaded.id for loaded in all_rules() if not config.runs(loaded)}
        self._ran: set[str] = set()
        self._lacking: dict[str, list[NotChecked]] = {}
        self._records = False
        self.file_findings: list[Finding] = []
        self.files_seen: set[str] = set()
        self.fatal = False

    def _on(self, what: str) -> Iterator[Loaded]:
        return (loaded for loaded in self._rules if loaded.rule.on == what)

    def file(self, judged: Judged, plan: str) -> None:
        """Run the rules about a file itself, once per file."""
        name = judged.document.file
        if name in self.files_seen:
            return
        self.files_seen.add(name)
        self.fatal = self.fatal or judged.fatal
        for loaded in self._on("file"):
            self._ran.add(loaded.id)
            for fault in loaded.check(judged, self._config.options(loaded)):
                if isinstance(fault, Fault) and fault.place is not None:
                    self.file_findings.append(self._finding(loaded, fault, plan, fault.place))

    def troubles(self, resolved: Resolved, troubles: Iterable[tuple[str, Trouble]]) -> None:
        """Report troubles that show only in the resolved plan, through the rules that word a file's own."""
        for file, trouble in troubles:
            judged = next(item for item in resolved.files if item.document.file == file)
            document = judged.document._replace(troubles=())
            alone = Judged(document, judged.kind, {}, (trouble,), (), fatal=False)
            for loaded in self._on("file"):
                for fault in loaded.check(alone, self._config.options(loaded)):
                    if isinstance(fault, Fault) and fault.place is not None:
                        self.file_findings.append(self._finding(loaded, fault, resolved.file, fault.place))

    def plan(self, plan: Plan, facts: Facts, resolved: Resolved) -> Iterator[Finding]:
        """Run the rules about a plan and yield its findings."""
        self._records = self._records or "found" in plan.values
        for loaded in self._on("plan"):
            if loaded.rule.switch and switched_off(plan, loaded.rule.switch):
                self._off.add(loaded.id)
                continue
            self._ran.add(loaded.id)
            for said in loaded.check(plan, facts, self._config.options(loaded)):
                if isinstance(said, Unchecked):
                    self._lack(loaded.id, said, plan.file)
                else:
                    place = said.place or resolved.place(said.at, key=said.key)
                    yield self._finding(loaded, said, plan.file, place, resolved)

    def waivers(self, outcomes: Iterable[tuple[Outcomes, Resolved]]) -> Iterator[Finding]:
        """Run the rules about waivers over the outcomes of each written waiver."""
        together = list(outcomes)
        for loaded in self._on("waivers"):
            self._ran.add(loaded.id)
            for outcome, resolved in together:
                for said in loaded.check(outcome, self._config.options(loaded)):
                    if isinstance(said, Unchecked):
                        self._lack(loaded.id, said, resolved.file)
                    else:
                        place = resolved.place(said.at, key=said.key)
                        yield self._finding(loaded, said, resolved.file, place, resolved)

    @property
    def off(self) -> tuple[str, ...]:
        """Rules that the configuration or every judged plan's policy switches off, in order."""
        return tuple(sorted(self._off - self._ran))

    def ran(self) -> tuple[str, ...]:
        """Return the rules that ran and lacked nothing, in order."""
        return tuple(sorted(self._ran - {entry.rule for entry in self.not_checked()}))

    def without_record(self) -> frozenset[str]:
        """Return the rules that were not judged because no plan of the run has a record of what was found."""
        return frozenset(entry.rule for entry in self.not_checked() if entry.needs == _RECORD)

    def not_checked(self) -> tuple[NotChecked, ...]:
        """Return one entry for each rule that lacked facts, over all plans."""
        merged = []
        for rule in sorted(self._lacking):
            entries = [entry for entry in self._lacking[rule] if not (self._records and entry.needs == _RECORD)]
            if not entries:
                continue
            needs = sorted({need for entry in entries for need in entry.needs})
            subjects = sorted({subject for entry in entries for subject in entry.subjects})
            merged.append(NotChecked(rule, tuple(needs), tuple(subjects), entries[0].plan))
        return tuple(merged)

    def _lack(self, rule: str, said: Unchecked, plan: str) -> None:
        self._lacking.setdefault(rule, []).append(NotChecked(rule, said.needs, said.subjects, plan))

    def _finding(
        self, loaded: Loaded, fault: Fault, plan: str, place: Place, resolved: Resolved | None = None
    ) -> Finding:
        waivable = loaded.rule.waivable if fault.waivable is None else fault.waivable
        related = [Related(spot, label) for spot, label in fault.related_places]
        if resolved is not None:
            related += [Related(resolved.place(mark.at, key=mark.key), mark.label) for mark in fault.related]
        return Finding(
            rule=loaded.id,
            severity=self._config.severity(loaded.id, loaded.rule, fault.severity, waivable=waivable),
            message=fault.message,
            plan=plan,
            place=place,
            subjects=tuple(sorted(set(fault.subjects))),
            values=dict(fault.values),
            related=tuple(related),
            fix=fault.fix,
            waived=None,
            waivable=waivable,
            rank=fault.rank,
        )
