"""A pack that no longer hears its transmitter well enough at its farthest spot.

What goes wrong: the singer walks to the end of the thrust and the mix hisses, then mutes. The wanted level there is held
against the floor of the scan and what the pack needs for its mode; the sum stands in the message, the rule of thumb
beside it.

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
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, decodes: stereo}}, carrier_mhz: 505.300, power_mw: 5}
    reach: {vox: {farthest_m: 18}}
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
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, decodes: stereo}}, carrier_mhz: 505.300, power_mw: 40}
    reach: {vox: {farthest_m: 16}}
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

Source: free space: ITU-R P.525; body loss and margin: common practice, no source; needs: the model's data sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule
from planlint.rules.margin_wording import THUMB, weak

RULE = Rule(
    severity="warning",
    group="margin",
    source="ITU-R P.525; margins: common practice, no source",
    accept={"margin_db": "lower"},
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack whose margin is below the house's limit."""
    yield from weak(plan, facts, "ear", THUMB)
