"""A microphone that reaches its receiver too weakly from its farthest spot.

What goes wrong: a belt pack at low power, behind a body, far from the receive antennas: the desk hears gating and hiss.
The same sum as for a pack, from the microphone to the best of its receiver's antennas.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    policy: {link: {margin_db: 10, body_loss_db: 20}}
    models:
      belt-n: {role: mic-transmitter, worn: body, emission_khz: 200, powers_mw: [2, 20], power_basis: eirp}
      rx-n: {role: mic-receiver, needs_ci_db: {mono: 18}, noise_figure_db: 6}
    people: {gtr: {does: guitar}}
    devices: {BP-1: {model: belt-n}, RX-1: {model: rx-n, into: mic-a}}
    links: {mic-1: {kind: mic, mic: BP-1, rx: RX-1, person: gtr, carrier_mhz: 505.300, power_mw: 2}}
    antennas: {mic-a: {for: mic, coax: {kind: low-loss-10mm, length_m: 10, loss_db: 1.2}, gain_dbi: 6, sight: clear}}
    reach: {gtr: {farthest_m: 30}}
    scans: {mast: {file: stage.csv, for: mic, resolution_khz: 100, own_rf: silent}}
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
      belt-n: {role: mic-transmitter, worn: body, emission_khz: 200, powers_mw: [2, 20], power_basis: eirp}
      rx-n: {role: mic-receiver, needs_ci_db: {mono: 18}, noise_figure_db: 6}
    people: {gtr: {does: guitar}}
    devices: {BP-1: {model: belt-n}, RX-1: {model: rx-n, into: mic-a}}
    links: {mic-1: {kind: mic, mic: BP-1, rx: RX-1, person: gtr, carrier_mhz: 505.300, power_mw: 20}}
    antennas: {mic-a: {for: mic, coax: {kind: low-loss-10mm, length_m: 10, loss_db: 1.2}, gain_dbi: 6, sight: clear}}
    reach: {gtr: {farthest_m: 30}}
    scans: {mast: {file: stage.csv, for: mic, resolution_khz: 100, own_rf: silent}}
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
from planlint.rules.margin_wording import weak

RULE = Rule(
    severity="warning",
    group="margin",
    source="ITU-R P.525; margins: common practice, no source",
    accept={"margin_db": "lower"},
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each microphone whose margin is below the house's limit."""
    yield from weak(plan, facts, "mic")
