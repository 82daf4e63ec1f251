"""A squelch at an end of its range on a link with little margin.

What goes wrong: at its lowest a weak moment lets full-scale noise through into the ear; at its highest the pack mutes
early. The middle of the unit's own settings is the usual choice; at an end it needs margin to spare.

Bad::

    # file: plan.yaml
    plan_format: 1
    kind: plan
    policy: {link: {margin_db: 10, body_loss_db: 20}}
    models:
      tx-n: {role: ear-transmitter, emission_khz: 200, powers_mw: [5], power_basis: eirp}
      pack-n: {role: ear-pack, squelch: [1, 2, 3, 4], needs_ci_db: {stereo: 25}, own_antenna_gain_dbi: 0, noise_figure_db: 8}
    people: {vox: {does: lead singer}}
    devices: {TX-1: {model: tx-n, into: none}, PK-1: {model: pack-n}}
    links:
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, decodes: stereo, squelch: 1}}, carrier_mhz: 505.300, power_mw: 5}
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
      tx-n: {role: ear-transmitter, emission_khz: 200, powers_mw: [5], power_basis: eirp}
      pack-n: {role: ear-pack, squelch: [1, 2, 3, 4], needs_ci_db: {stereo: 25}, own_antenna_gain_dbi: 0, noise_figure_db: 8}
    people: {vox: {does: lead singer}}
    devices: {TX-1: {model: tx-n, into: none}, PK-1: {model: pack-n}}
    links:
      ear-1: {kind: ear, tx: TX-1, packs: {PK-1: {person: vox, decodes: stereo, squelch: 2}}, carrier_mhz: 505.300, power_mw: 5}
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

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.margin import Margin
from planlint.facts.packs import ear_links, setting, worn
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack whose squelch is at an end of its range while its margin is below the limit."""
    packs = list(worn(plan))
    if not packs:
        ears = tuple(f"{link.at}/packs" for link in ear_links(plan))
        yield Unchecked(ears or ("/links",))
    sums = {(found.link, found.device): found for found in facts.margins}
    for link, pack in packs:
        squelch = setting(plan, pack, "squelch")
        device = plan.devices.get(pack.id)
        settings = device.model.spec.get("squelch") if device and device.model else None
        if squelch.value is None or not settings:
            missing = squelch.at if squelch.value is None else f"/devices/{pack.id}/model"
            yield Unchecked((missing,), (link.id, pack.id))
            continue
        if squelch.value not in {settings[0], settings[-1]} or len(settings) < 2:
            continue
        found = sums.get((link.id, pack.id))
        if not isinstance(found, Margin):
            if pack.stands_in_for is None:
                yield Unchecked(found.needs if found else ("/reach",), (link.id, pack.id))
            continue
        if not found.holds:
            low = squelch.value == settings[0]
            happens = "bursts of full-scale noise in the ear" if low else "an early mute"
            middle = settings[(len(settings) - 1) // 2]
            yield Fault(
                squelch.at,
                f"{pack.id} ({link.id}): squelch {squelch.value} is the {'lowest' if low else 'highest'} with {found.margin_db:.1f} dB "
                f"margin (limit {found.limit_db:g}): {happens} at {found.distance.metres:g} m. Set {middle}, the middle of its range.",
                (link.id, pack.id),
                {"squelch": str(squelch.value), "margin_db": round(found.margin_db, 1)},
            )
