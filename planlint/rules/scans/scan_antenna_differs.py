"""Two scans that are compared, taken with different antennas.

What goes wrong: 10 dB between two visits are the antenna, not the town. A scan is compared with the last visit's for
the same kind of link, and with others of its own kind tonight, which are combined by their highest.

Bad::

    plan_format: 1
    kind: plan
    scans:
      left: {file: left.csv, for: ear, antenna: pack whip}
      right: {file: right.csv, for: ear, antenna: mast}

Good::

    plan_format: 1
    kind: plan
    scans:
      left: {file: left.csv, for: ear, antenna: pack whip}
      right: {file: right.csv, for: ear, antenna: pack whip}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planlint.facts import Facts
from planlint.facts.scan import Scan
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, heading, lacking_siblings, show_called

RULE = Rule(severity="note", group="tidy", source="common practice, no source")


class _Pair(NamedTuple):
    scan: Scan
    other: Scan
    show: Plan | None


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each two compared scans with different antennas."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    if facts.scans.all:
        yield from lacking_siblings(plan, facts)
    for pair in _pairs(facts):
        first, second = _antenna(pair.scan), _antenna(pair.other)
        if first is None:
            yield Unchecked((pair.scan.key_at("antenna"),), (pair.scan.id,))
        elif second is None:
            if pair.show is None:
                yield Unchecked((pair.other.key_at("antenna"),), (pair.other.id,))
        elif first != second:
            yield _fault(pair)


def _pairs(facts: Facts) -> Iterator[_Pair]:
    """Yield each scan with the first of its kind tonight, and with the last visit's of its kind."""
    firsts: dict[str | None, Scan] = {}
    visit = facts.scans.last_visit
    before = facts.scans.of(visit) if visit else ()
    for scan in facts.scans.all:
        if scan.kind in firsts:
            yield _Pair(scan, firsts[scan.kind], None)
        firsts.setdefault(scan.kind, scan)
        for other in before:
            if other.kind == scan.kind:
                yield _Pair(scan, other, visit)
                break


def _antenna(scan: Scan) -> str | None:
    written = scan.spec.get("antenna")
    return " ".join(str(written).casefold().split()) if written is not None else None


def _fault(pair: _Pair) -> Fault:
    scan, other = pair.scan, pair.other
    whose = f"{called(other)} of the last visit ({show_called(pair.show)})" if pair.show else called(other)
    return Fault(
        scan.key_at("antenna"),
        f"{heading(scan)} was taken with {scan.spec['antenna']}, {whose} with {other.spec['antenna']}: a difference of levels "
        "is the antennas', not the town's. Scan with the same one before comparing.",
        (scan.id,),
        {"antenna": str(scan.spec["antenna"]), "other_antenna": str(other.spec["antenna"])},
        () if pair.show else (Mark(other.key_at("antenna"), f"{other.id} used another"),),
    )
