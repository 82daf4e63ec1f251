"""A file or key in the wrong kind of file.

What goes wrong: `kind` is a word this format does not know, `uses` names a file of the wrong kind, or a tour
file holds what the show decides (carriers, powers, scans). What the tour decides and what the venue forces
stand apart, so that two weeks can be compared.

Bad::

    plan_format: 1
    kind: plann
    links: {vox: {kind: ear, carrier_mhz: 505.300}}

Good::

    plan_format: 1
    kind: plan
    links: {vox: {kind: ear, carrier_mhz: 505.300}}

Source: the plan format: kinds of file and what each may use.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="the plan format's kinds", waivable=False, on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each kind that does not fit."""
    for trouble in of(judged, "wrong-kind"):
        home, near = trouble.get("home"), trouble.get("near")
        if home:
            yield trouble.fault(
                f"'{trouble.get('key')}' belongs in a {home} file, not in this {trouble.get('kind')} file.",
                fix=f"move it to the {home} file",
            )
        elif trouble.get("file"):
            yield trouble.fault(
                f"{trouble.get('file')} is {_article(trouble.get('found'))} file; here a {judged.kind} names "
                f"{_article(trouble.get('known'))} file.",
                fix="name the right file",
            )
        else:
            hint = f" Did you mean {near}?" if near else ""
            yield trouble.fault(
                f"kind: '{trouble.get('found')}' is none of {trouble.get('known')}.{hint}",
                fix=f"write {near or 'one of them'}",
            )


def _article(kind: str) -> str:
    if kind.startswith(("one ", "a ")):
        return kind
    return f"an {kind}" if kind[:1] in "aeiou" else f"a {kind}"
