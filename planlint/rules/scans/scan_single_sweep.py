"""A scan of a sweep or two, or one that kept only the mean.

What goes wrong: somebody pushes to talk for three seconds a quarter of an hour; one sweep does not see it, and a mean
drowns it. The highest level of many sweeps (`held: max`, three `sweeps` and more) does.

Bad::

    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, held: single}}

Good::

    plan_format: 1
    kind: plan
    scans: {stage: {file: stage.csv, held: max, sweeps: 20}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked, Value
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import heading

RULE = Rule(severity="note", group="tidy", source="common practice, no source", accept={"sweeps": "lower"})

_FEWEST = 3


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan that was not held, or was held over fewer than three sweeps."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
    for scan in facts.scans.all:
        held, sweeps = scan.spec.get("held"), scan.spec.get("sweeps")
        few = isinstance(sweeps, int) and sweeps < _FEWEST
        if held is None and not few:
            yield Unchecked((scan.key_at("held"),), (scan.id,))
            continue
        if held == "max" and not few:
            continue
        what = "the mean" if held == "mean" else "one sweep"
        if few:
            what = f"{sweeps} sweep{'' if sweeps == 1 else 's'}"
        values: dict[str, Value] = {"held": str(held or "unwritten")} | (
            {"sweeps": sweeps} if sweeps is not None else {}
        )
        yield Fault(
            scan.key_at("sweeps" if few else "held"),
            f"{heading(scan)} kept {what}: those who talk now and then are missing. Leave the "
            f"analyser on maximum hold through a break, {_FEWEST} sweeps at the very least.",
            (scan.id,),
            values,
        )
