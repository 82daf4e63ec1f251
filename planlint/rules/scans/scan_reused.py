"""One scan file under two names: another show's, or another antenna's.

What goes wrong: somebody needed a scan and copied one. There is no scan for tonight, or none for the second place.
Files are compared by their bytes. The later show of the two is the copy. One scan that is openly used twice, at the
same place and with the same time written, is no fault; one that stands for every kind of link is one entry without
`for`.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}, stage: {file: stage.csv, for: ear}}
    # file: desk.csv
    freq_mhz,level_dbm
    500.0,-101.5
    # file: stage.csv
    freq_mhz,level_dbm
    500.0,-101.5

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}, stage: {file: stage.csv, for: ear}}
    # file: desk.csv
    freq_mhz,level_dbm
    500.0,-101.5
    # file: stage.csv
    freq_mhz,level_dbm
    500.0,-102.5

Source: SHA-256 of the files (FIPS 180-4); common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.scan import Scan
from planlint.facts.shows import place
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, lacking_siblings, show_called

RULE = Rule(severity="error", group="link", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each scan that equals another of this show, or one of an earlier show."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    if facts.scans.all:
        yield from lacking_siblings(plan, facts)
    earlier = sorted((show for show in facts.siblings or () if _order(show) < _order(plan)), key=_order)
    theirs = [(show, scan) for show in earlier for scan in facts.scans.of(show)]
    for index, scan in enumerate(facts.scans.all):
        if scan.file is None or scan.file.lost:
            yield Unchecked((scan.key_at("file"),), (scan.id,))
            continue
        twin = next((other for other in facts.scans.all[:index] if _same(scan, other)), None)
        if twin is not None:
            yield Fault(
                scan.key_at("file"),
                f"{scan.spec['file']} is {called(twin)} once more, byte for byte: there is no scan of its own for "
                f"{scan.id}. Scan there too; if one scan stands for every link, keep one entry and leave its for out.",
                (scan.id, twin.id),
                {"file": str(scan.spec["file"]), "same_as": twin.id},
                (Mark(twin.key_at("file"), f"{twin.id} is the same file"),),
            )
            continue
        source = next(
            (show for show, other in theirs if _same(scan, other) and not _open(plan, scan, show, other)), None
        )
        if source is not None:
            yield Fault(
                scan.key_at("file"),
                f"{scan.spec['file']} is the scan of {show_called(source)}, byte for byte. There is no scan for this show: "
                "scan here, with every transmitter off the air.",
                (scan.id,),
                {"file": str(scan.spec["file"]), "same_as": source.file},
            )


def _same(first: Scan, second: Scan) -> bool:
    one, two = first.file, second.file
    if one is None or two is None or one.lost or two.lost:
        return False
    return one.file == two.file or (one.size == two.size and one.digest == two.digest != "")


def _open(plan: Plan, scan: Scan, show: Plan, other: Scan) -> bool:
    """Say whether two shows use one scan openly: at the same place, with the same time written."""
    same_time = scan.spec.get("at") is not None and scan.spec.get("at") == other.spec.get("at")
    return same_time and place(plan) is not None and place(plan) == place(show)


def _order(plan: Plan) -> tuple[str, str]:
    return plan.date or "", plan.file
