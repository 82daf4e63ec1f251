"""No scan from where a kind of link is received.

What goes wrong: packs hear the stage, microphone receivers hear their antennas. Ears judged by a scan at the
microphone antenna, or the reverse, are a guess. Each kind of link used tonight needs a scan that is `for` it, or one
that does not say which kind it is for.

Bad::

    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, hand: {kind: mic, carrier_mhz: 561.900}}

Good::

    plan_format: 1
    kind: plan
    scans: {desk: {file: desk.csv, for: mic}, stage: {file: stage.csv, for: ear}}
    links: {vox: {kind: ear, carrier_mhz: 505.300}, hand: {kind: mic, carrier_mhz: 561.900}}

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import RECEIVERS, kinds, listed

RULE = Rule(severity="warning", group="margin", source="common practice, no source")

_WHERE = {"ear": "where the packs are worn, like stage centre", "mic": "at the antenna of the microphone receivers"}


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each kind of link without a scan, and for each scan with another kind's antenna."""
    if "scans" not in plan.values:
        yield Unchecked(("/scans",))
        return
    if not plan.links:
        yield Unchecked(("/links",))
    open_ones = [scan for scan in facts.scans.all if scan.kind is None]
    for scan in open_ones:
        yield Unchecked((scan.key_at("for"),), (scan.id,))
    for kind, links in kinds(plan).items():
        if open_ones or any(scan.kind == kind for scan in facts.scans.all):
            continue
        yield Fault(
            "/scans",
            f"There is no scan for {kind} links ({listed(link.id for link in links)}): what their receivers "
            f"({RECEIVERS[kind]}) hear is a guess. Scan {_WHERE.get(kind, 'where their receivers stand')}, and write for: "
            f"{kind}.",
            tuple(link.id for link in links),
            {"kind": kind, "links": len(links)},
        )
    antennas = plan.section("antennas")
    for scan in facts.scans.all:
        antenna = antennas.get(str(scan.spec.get("antenna")))
        serves = antenna.get("for") if isinstance(antenna, dict) else None
        if serves is not None and scan.kind is not None and serves != scan.kind:
            name = scan.spec["antenna"]
            yield Fault(
                scan.key_at("antenna"),
                f"Scan {scan.id} is for {scan.kind} links, and was taken with {name}, which serves {serves} links. Scan where "
                f"{RECEIVERS[scan.kind]} hear, or correct its for.",
                (scan.id, str(name)),
                {"for": scan.kind, "antenna_for": str(serves)},
                (Mark(f"/antennas/{name}/for", f"{name} serves {serves} links"),),
            )
