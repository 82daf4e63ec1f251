"""A bare word or number that YAML 1.1 readers turn into something else.

What goes wrong: `off` and `no` become false, `19:30` becomes 1170, `010` becomes eight, `2026-03-14` becomes a
date object, `1e3` stays text. This format reads it as it is written, but other people's tools read this file
too. Quotes settle it.

Bad::

    plan_format: 1
    kind: plan
    show: {region: us, date: 2026-03-14}

Good::

    plan_format: 1
    kind: plan
    show: {region: us, date: "2026-03-14"}

Source: YAML 1.1 type repository (yaml.org/type: bool, int, float, timestamp) against YAML 1.2.2 section 10.3.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.finding import Fault, Place
from planlint.rules.base import NoOptions, Rule
from planlint.schema.judge import Judged

RULE = Rule(severity="warning", group="tidy", source="YAML 1.1 types against YAML 1.2.2 section 10.3", on="file")


def check(judged: Judged, options: NoOptions) -> Iterator[Fault]:
    """Yield a fault for each plain scalar that 1.1 readers read differently."""
    for trap in judged.traps:
        number = trap.reads_as == "text" or trap.reads_as == "an octal number"
        fix = "write it as a plain decimal number" if number else f'write "{trap.text}"'
        yield Fault(
            trap.pointer,
            f"{trap.text} reads as {trap.reads_as} in other tools. {fix[0].upper()}{fix[1:]}.",
            place=Place(judged.document.file, *trap.span, trap.pointer),
            fix=fix,
        )
