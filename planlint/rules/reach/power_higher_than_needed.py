"""High power where a lower setting holds.

What goes wrong: every dB more on all transmitters makes third-order products three dB stronger, and cells shorter. Where a
lower setting keeps the house's margin at the farthest spot, it does.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    policy: {link: {margin_db: 10, body_loss_db: 20}}
    models:
      tx-n: {role: ear-transmitter, emission_khz: 200, powers_mw: [5, 40], power_basis: conducted, own_antenna_gain_dbi: 0}
      pack-n: {role: ear-pack, needs_ci_db: {stereo: 25}, own_antenna_gain_dbi: 0, noise_figure_db: 8}
    people: {vox: {does: lead singer}}
    devices: {TX-1: {model: tx-n, into: none}, PK-1: {model: pack-n}}
    links:
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, decodes: stereo}}, carrier_mhz: 505.300, power_mw: 40}
    reach: {vox: {farthest_m: 4}}
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100, own_rf: silent}}
    # file: stage.csv
    freq_mhz,level_dbm
    505.0,-93
    505.1,-93
    505.2,-93
    505.3,-93
    505.4,-93
    505.5,-93
    505.6,-93

Good::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    policy: {link: {margin_db: 10, body_loss_db: 20}}
    models:
      tx-n: {role: ear-transmitter, emission_khz: 200, powers_mw: [5, 40], power_basis: conducted, own_antenna_gain_dbi: 0}
      pack-n: {role: ear-pack, needs_ci_db: {stereo: 25}, own_antenna_gain_dbi: 0, noise_figure_db: 8}
    people: {vox: {does: lead singer}}
    devices: {TX-1: {model: tx-n, into: none}, PK-1: {model: pack-n}}
    links:
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, decodes: stereo}}, carrier_mhz: 505.300, power_mw: 5}
    reach: {vox: {farthest_m: 4}}
    scans: {stage: {file: stage.csv, for: ear, resolution_khz: 100, own_rf: silent}}
    # file: stage.csv
    freq_mhz,level_dbm
    505.0,-93
    505.1,-93
    505.2,-93
    505.3,-93
    505.4,-93
    505.5,-93
    505.6,-93

Source: third order rises 3 dB per dB: intercept algebra, closed form; margins: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rf.decibel import mw_to_dbm
from planlint.rules.base import NoOptions, Rule
from planlint.rules.margin_wording import kept, where

RULE = Rule(severity="note", group="margin", source="intercept algebra; margins: common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each link on which every receiving unit would hold at a lower setting."""
    worst: dict[str, tuple[float, str, float]] = {}
    for kind in ("ear", "mic"):
        for margin in kept(plan, facts, kind):
            if isinstance(margin, Unchecked):
                yield margin
                continue
            lowest = margin.lowest
            entry = (lowest.power_mw if lowest else margin.power_mw, where(margin), lowest.margin_db if lowest else 0.0)
            worst[margin.link] = max(worst.get(margin.link, entry), entry)
            if margin.unproven:
                yield Unchecked(margin.unproven, (margin.link, margin.device))
    for name, (power, who, margin_db) in sorted(worst.items()):
        link = plan.links[name]
        if link.power_mw is None or power >= link.power_mw:
            continue
        down = mw_to_dbm(link.power_mw) - mw_to_dbm(power)
        yield Fault(
            f"{link.entry_at}/power_mw",
            f"{name}: {power:g} mW holds ({who}, margin {margin_db:.0f} dB); {link.power_mw:g} mW is set. If all go {down:.0f} dB "
            f"down, third-order products go {3 * down:.0f} dB down; one alone changes its own by {down:.0f} or {2 * down:.0f}.",
            (name, link.tx) if link.tx else (name,),
            {"power_mw": link.power_mw, "holds_mw": power, "margin_db": round(margin_db, 1)},
        )
