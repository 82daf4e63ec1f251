"""A scan file that is not where the plan says.

What goes wrong: the entry looks as if there were a scan, and nothing is judged by it. The path is relative to the
file that names it and may not leave the root; a file of more than 64 MiB is not read.

Bad::

    plan_format: 1
    kind: plan
    scans: {stage: {file: scans/tonight.csv, for: ear}}

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {stage: {file: scans/tonight.csv, for: ear}}
    # file: scans/tonight.csv
    freq_mhz,level_dbm
    500.0,-101.5
    500.1,-102.0

Source: the plan format; nothing to cite.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="file", source="the plan format", waivable=False)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan whose file cannot be opened."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
    for scan in facts.scans.all:
        if scan.file is None:
            yield Unchecked((scan.key_at("file"),), (scan.id,))
        elif scan.file.lost:
            name = str(scan.spec["file"])
            yield Fault(
                scan.key_at("file"),
                f"Scan {scan.id}: {name} {scan.file.lost}. No floor, gap or TV channel was judged by it. Put the file "
                "there, or correct the path (relative to this file, inside the root).",
                (scan.id,),
                {"file": name, "why": scan.file.lost},
            )
