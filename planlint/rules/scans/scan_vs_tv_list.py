"""A TV channel that the scan shows and the list does not.

What goes wrong: the list is old, or another town's, and a carrier is put into a live channel. A channel seems to be on
the air where its median is more than 8 dB over the quieter of the channels beside it and its levels are flat within
6 dB. The reverse never holds: a quiet scan frees no listed channel, for low antennas miss TV. More than three unlisted
channels in a row are a lifted floor, not TV.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    spectrum: {tv_raster: us-6mhz, tv_occupied: [14]}
    scans: {stage: {file: stage.csv}}
    # file: stage.csv
    freq_mhz,level_dbm
    518,-102.5
    519.2,-101.5
    520.4,-102.5
    521.6,-101.5
    522.8,-102.5
    524,-69.5
    525.2,-71.5
    526.4,-70.5
    527.6,-69.5
    528.8,-71.5
    530,-102.5
    531.2,-101.5
    532.4,-102.5
    533.6,-101.5
    534.8,-102.5
    536,-101.5

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    spectrum: {tv_raster: us-6mhz, tv_occupied: [14, 23]}
    scans: {stage: {file: stage.csv}}
    # file: stage.csv
    freq_mhz,level_dbm
    518,-102.5
    519.2,-101.5
    520.4,-102.5
    521.6,-101.5
    522.8,-102.5
    524,-69.5
    525.2,-71.5
    526.4,-70.5
    527.6,-69.5
    528.8,-71.5
    530,-102.5
    531.2,-101.5
    532.4,-102.5
    533.6,-101.5
    534.8,-102.5
    536,-101.5

Source: common practice, no source; the channels' edges as in the TV rules.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.scan import Scan, read_scans
from planlint.facts.scan_tv import Plateau, plateaus
from planlint.facts.spectrum import raster
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.quantity import mhz
from planlint.rules.base import NoOptions, Rule
from planlint.rules.scanning import called, lacking

RULE = Rule(severity="warning", group="margin", source="common practice, no source", accept={"over_db": "higher"})


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each unlisted channel that a scan shows on the air."""
    yield from lacking(plan, facts)
    if not facts.scans.all:
        return
    listed = plan.section("spectrum").get("tv_occupied")
    if not isinstance(listed, list):
        yield Unchecked(("/spectrum/tv_occupied",))
    if raster(plan)[0] is None:
        yield Unchecked(("/spectrum/tv_raster", plan.region_at))
    if not isinstance(listed, list):
        return
    seen: dict[int, list[tuple[Plateau, Scan]]] = {}
    for scan, points in read_scans(facts.scans.all):
        for plateau in plateaus(plan, points):
            if plateau.channel not in listed and _used(plan, plateau.channel):
                seen.setdefault(plateau.channel, []).append((plateau, scan))
    for channel in sorted(seen):
        yield _fault(facts, seen[channel])


def _used(plan: Plan, channel: int) -> bool:
    """Say whether TV still uses a channel of the raster, as far as the region says."""
    region = plan.region
    if region is None or region.first_channel is None or region.last_channel is None:
        return True
    return region.first_channel <= channel <= region.last_channel


def _fault(facts: Facts, found: list[tuple[Plateau, Scan]]) -> Fault:
    plateau, scan = max(found, key=lambda entry: entry[0].over_db)
    inside = []
    for name in sorted(facts.carriers.keys() & facts.plan.links.keys()):
        low, high = facts.edges(name)
        if plateau.low_hz < high and low < plateau.high_hz:
            inside.append(name)
    move = f" {', '.join(inside)} would be in it: move at both ends." if inside else ""
    return Fault(
        "/spectrum/tv_occupied",
        f"TV {plateau.channel} ({mhz(plateau.low_hz)}-{mhz(plateau.high_hz)}) seems to be on the air: {called(scan)} shows a "
        f"plateau of {plateau.dbm:.1f} dBm, {plateau.over_db:.1f} dB over beside, and the list has it free. Look it up; plan "
        f"it as occupied.{move}",
        (*inside, scan.id),
        {"channel": plateau.channel, "level_dbm": round(plateau.dbm, 1), "over_db": round(plateau.over_db, 1)},
        tuple(Mark(scan.key_at("file"), f"seen in {scan.id}") for _, scan in found),
    )
