"""The table of rules, made from the rules' own pages."""

from __future__ import annotations

import importlib
import json
from collections.abc import Iterable, Iterator
from itertools import groupby

from planlint.rules.registry import Loaded


def title(loaded: Loaded) -> str:
    """Return the first line of a rule's page without its full stop."""
    return loaded.page.strip().splitlines()[0].rstrip(".")


def severity(loaded: Loaded) -> str:
    """Return a rule's severity, with a mark where no waiver can silence it."""
    return loaded.rule.severity + ("" if loaded.rule.waivable else "!")


def subject_title(subject: str) -> str:
    """Return what a folder of rules is about."""
    module = importlib.import_module(f"planlint.rules.{subject}")
    return (module.__doc__ or subject).strip().splitlines()[0].rstrip(".")


def _subjects(rules: Iterable[Loaded]) -> Iterator[tuple[str, list[Loaded]]]:
    for subject, group in groupby(rules, key=lambda loaded: loaded.subject):
        yield subject_title(subject), list(group)


def text(rules: Iterable[Loaded]) -> str:
    """Return the table for a terminal."""
    lines = []
    for subject, group in _subjects(rules):
        lines.append(f"{subject}:")
        lines += [f"  {loaded.id:<32} {severity(loaded):<9} {title(loaded)}" for loaded in group]
        lines.append("")
    lines.append("! cannot be waived. planlint explain RULE shows a rule's page.")
    return "\n".join(lines) + "\n"


def markdown(rules: Iterable[Loaded]) -> str:
    """Return the table in Markdown, for the README."""
    lines = []
    for subject, group in _subjects(rules):
        lines += [f"**{subject}**", "", "| rule | severity | what goes wrong |", "|---|---|---|"]
        lines += [f"| `{loaded.id}` | {severity(loaded)} | {title(loaded)} |" for loaded in group]
        lines.append("")
    return "\n".join(lines)


def json_text(rules: Iterable[Loaded]) -> str:
    """Return the table as JSON."""
    rows = [
        {
            "id": loaded.id,
            "subject": loaded.subject,
            "title": title(loaded),
            "severity": loaded.rule.severity,
            "waivable": loaded.rule.waivable,
            "accept": dict(loaded.rule.accept),
            "source": loaded.rule.source,
        }
        for loaded in rules
    ]
    return json.dumps({"format": 1, "rules": rows}, ensure_ascii=False, indent=2) + "\n"
