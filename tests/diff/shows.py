"""A small tour of two shows to compare, in text, with edits."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from planlint.config import Config
from planlint.diff.change import Consequence
from planlint.diff.result import Difference
from planlint.diff.side import side
from planlint.engine.difference import difference
from planlint.plan import Shelf

MODELS = """\
plan_format: 1
kind: models
models:
  wren-tx: {role: ear-transmitter, tuning_mhz: [{low: 474.000, high: 526.000}], step_khz: 25, emission_khz: 180,
            powers_mw: [3, 9, 27], power_basis: conducted, sends: [stereo, mono]}
  wren-pack: {role: ear-pack, tuning_mhz: [{low: 474.000, high: 526.000}], step_khz: 25, decodes: [stereo, mono],
              ear_feed: [stereo, mono], limiter_db: {low: -30, high: 0}, limiter_ref: max_output, max_output_dbv: -2}
  wren-pack-b: {role: ear-pack, tuning_mhz: [{low: 474.000, high: 526.000}], step_khz: 50, decodes: [stereo, mono],
                ear_feed: [stereo, mono], limiter_db: {low: -30, high: 0}, limiter_ref: max_output, max_output_dbv: -2}
  finch-hand: {role: mic-transmitter, tuning_mhz: [{low: 550.000, high: 600.000}], step_khz: 25, emission_khz: 180,
               powers_mw: [4, 16], power_basis: erp}
  finch-rx: {role: mic-receiver, tuning_mhz: [{low: 550.000, high: 600.000}], step_khz: 25}
"""
TOUR = """\
plan_format: 1
kind: tour
uses: [models.yaml]
tour: {id: reed, act: Reed Lantern, region: us}
policy: {hands_min_per_unit: 2}
people:
  vox: {does: sings, ears: dome}
  gtr: {does: plays guitar, ears: dome}
  mon: {does: mixes, ears: dome}
earphones:
  dome: {sensitivity_db_spl_per_mw: 104, impedance_ohm: 32}
  shell: {sensitivity_db_spl_per_mw: 110, impedance_ohm: 32}
pack_defaults: {decodes: stereo, ear_feed: stereo, balance_pct: 0, limiter_db: -18, gain_db: 0, volume: free}
racks:
  A: {holds: [TX-1, TX-2, TX-10]}
  B: {holds: [RX-1]}
devices:
  TX-1: {model: wren-tx, label: 1 VOX}
  TX-2: {model: wren-tx, label: 2 GTR}
  TX-10: {model: wren-tx, label: 10 MON}
  PK-1: {model: wren-pack, label: 1 VOX}
  PK-2: {model: wren-pack, label: 2 GTR}
  PK-10: {model: wren-pack, label: 10 MON}
  PK-S: {model: wren-pack, label: SPARE}
  HH-1: {model: finch-hand, label: A VOX}
  RX-1: {model: finch-rx, label: A VOX}
mixes:
  vox: {for: vox, width: stereo, desk_out: [1, 2]}
  gtr: {for: gtr, width: stereo, desk_out: [3, 4]}
  mon: {for: mon, width: stereo, desk_out: [5, 6]}
links:
  ear-1: {kind: ear, tx: TX-1, sends: stereo, feed: {stereo: vox}, packs: {PK-1: {person: vox}, PK-S: {stands_in_for: PK-1}}}
  ear-2: {kind: ear, tx: TX-2, sends: stereo, feed: {stereo: gtr}, packs: {PK-2: {person: gtr}}}
  ear-10: {kind: ear, tx: TX-10, sends: stereo, feed: {stereo: mon}, packs: {PK-10: {person: mon, listens_to: [ear-1, ear-2]}}}
  mic-1: {kind: mic, mic: HH-1, rx: RX-1, person: vox, desk_in: 1}
"""
VENUE = """\
plan_format: 1
kind: venue
uses: [../tour.yaml]
show: {id: a, place: Mill, town: Ford, date: "2026-05-01"}
spectrum: {tv_occupied: [15, 16]}
carriers:
  ear-1: {carrier_mhz: 501.000, power_mw: 9}
  ear-2: {carrier_mhz: 503.300, power_mw: 9}
  ear-10: {carrier_mhz: 507.350, power_mw: 9}
  mic-1: {carrier_mhz: 570.000, power_mw: 16}
day:
  - {what: packs on, at: "15:00"}
  - {what: show, at: "20:00", until: "22:00", on_air: all}
"""
FILES = {"models.yaml": MODELS, "tour.yaml": TOUR, "venues/a.yaml": VENUE}
Edits = dict[str, str]


def replaced(text: str, edits: Mapping[str, str]) -> str:
    for old, new in edits.items():
        assert old in text, old
        text = text.replace(old, new)
    return text


def lay_out(folder: Path, edits: Edits | None = None) -> Path:
    """Write the tour, with pieces of its text replaced in whichever file has them."""
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        mine = {old: new for old, new in (edits or {}).items() if old in text}
        (folder / name).write_text(replaced(text, mine), "utf-8")
    for old in edits or {}:
        assert any(old in text for text in FILES.values()), old
    (folder / ".planlint.yaml").write_text("root: true\n", "utf-8")
    return folder


def compare(folder: Path, edits: Edits, before: Edits | None = None) -> Difference:
    """The difference between the tour's show and the same with other text."""
    old, new = lay_out(folder / "old", before), lay_out(folder / "new", edits)
    return difference(side(Shelf(old), "venues/a.yaml", "old"), side(Shelf(new), "venues/a.yaml", "new"), Config())


def consequence(found: Difference, name: str) -> Consequence:
    matching = [item for item in found.consequences if item.id == name]
    assert matching, [item.id for item in found.consequences]
    return matching[0]


def ids(found: Difference) -> set[str]:
    return {item.id for item in found.consequences}
