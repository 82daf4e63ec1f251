"""YAML that this format leaves out, because tools read it differently or a diff would hide it.

What goes wrong: a tag, a second document, a tab as indentation, bytes that are no UTF-8, `.nan` or `.inf`,
nesting deeper than 32, a file over 4 MiB. Another tool would read another plan, or none.

Bad::

    plan_format: 1
    kind: plan
    reach: {default_m: .inf}

Good::

    plan_format: 1
    kind: plan
    reach: {default_m: 12}

Source: YAML 1.2.2 (yaml.org/spec/1.2.2), sections 6.1 (indentation) and 10.3 (core schema); the subset is this
format's.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault
from planlint.rules.base import NoOptions, Rule
from planlint.rules.troubles import of
from planlint.schema.judge import Judged

RULE = Rule(severity="error", group="file", source="YAML 1.2.2; the format's subset", waivable=False, on="file")

_UNWRITTEN = "It counts as unwritten."


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for everything that the subset refuses."""
    for trouble in of(judged, "yaml-refused"):
        what = trouble.get("what")
        consequence, fix = _consequence(what)
        counted = "Nothing in this file was checked." if judged.fatal else consequence
        comma = "," if ", which" in what else ""
        yield trouble.fault(f"{what}{comma} is not part of the plan format. {counted}".strip(), fix=fix)


def _consequence(what: str) -> tuple[str, str]:
    """Return what became of the refused text, and what to do."""
    for word, consequence, fix in (
        ("a tab", "Other readers may refuse the file or nest it otherwise.", "indent with spaces"),
        ("the tag", "It was passed over.", "delete the tag: the schema decides what a value is"),
        ("several documents", "Only the first was read.", "put the second document into a file of its own"),
        ("UTF-8", "", "save the file as UTF-8"),
        ("no quantity", _UNWRITTEN, "write the number, or delete the key"),
        ("nesting", _UNWRITTEN, "write it flatter"),
        ("a file of", "", "put scans and lists into files of their own"),
        ("a line break", "", "save the file with plain line ends"),
    ):
        if word in what:
            return consequence, fix
    return _UNWRITTEN, "write it in plain block or flow YAML"
