"""A cable of another impedance than 50 ohm in an antenna run.

What goes wrong: a video cable found in the lid. The mismatch itself costs little, 0 to 0.7 dB by the run's length for
75 ohm; its plugs look alike and do not hold in a 50 ohm socket, and that is what drops out.

Bad::

    plan_format: 1
    kind: plan
    antennas: {mic-a: {for: mic, coax: {kind: video, length_m: 10, impedance_ohm: 75}}}

Good::

    plan_format: 1
    kind: plan
    antennas: {mic-a: {for: mic, coax: {kind: low-loss-10mm, length_m: 10, impedance_ohm: 50}}}

Source: transmission-line theory, closed form (see `planlint.rf.mismatch`); 50 ohm is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.antennas import links_on
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rf.mismatch import SYSTEM_OHM, most_mismatch_loss_db
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import text, value

RULE = Rule(severity="note", group="tidy", source="transmission-line theory, closed form")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each antenna whose cable is not of 50 ohm."""
    if "antennas" not in plan.values:
        yield Unchecked(("/antennas",))
    for name, spec in sorted(plan.section("antennas").items()):
        at = f"/antennas/{escape(name)}/coax/impedance_ohm"
        ohm = spec.get("coax", {}).get("impedance_ohm")
        users = tuple(link.id for link in links_on(plan, name))
        if ohm is None:
            yield Unchecked((at,), (name, *users))
        elif ohm != SYSTEM_OHM:
            most = most_mismatch_loss_db(float(ohm))
            yield Fault(
                at,
                f"{name}: {text(ohm)} ohm cable between {SYSTEM_OHM:g} ohm sockets costs 0 to {most:.1f} dB by its length; its plugs "
                "sit loose at both ends. Put a 50 ohm cable in, or tape both plugs and look at them before doors.",
                (name, *users),
                {"impedance_ohm": value(ohm), "most_db": round(most, 2)},
            )
