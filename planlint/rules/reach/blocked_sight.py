"""An antenna behind a wall, a screen or the rack's own rear.

What goes wrong: bodies and walls take 10 to 20 dB; the margin that looked comfortable is gone at the first step. Antennas
belong in front, in sight of whoever wears the pack.

Bad::

    plan_format: 1
    kind: plan
    antennas: {ear-out: {for: ear, gain_dbi: 6, sight: blocked}}

Good::

    plan_format: 1
    kind: plan
    antennas: {ear-out: {for: ear, gain_dbi: 6, sight: clear}}

Source: common practice, no source (10 to 20 dB; 15 in the sums).
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.document.nodes import escape
from planlint.facts import Facts
from planlint.facts.margin import BLOCKED_SIGHT_DB, Margin
from planlint.finding import Fault, Unchecked
from planlint.plan import Plan
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="warning", group="margin", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each antenna without clear sight, with what it does to the links through it."""
    antennas = plan.section("antennas")
    if not antennas:
        yield Unchecked(("/antennas",))
        return
    for name in sorted(antennas):
        at = f"/antennas/{escape(name)}/sight"
        sight = antennas[name].get("sight")
        if sight is None:
            yield Unchecked((at,), (name,))
        elif sight == "blocked":
            fails = sorted(
                {m.link for m in facts.margins if isinstance(m, Margin) and name in m.antennas and not m.holds}
            )
            says = f" {', '.join(fails)} then lack margin." if fails else ""
            yield Fault(
                at,
                f"{name} has no clear sight: reckon {BLOCKED_SIGHT_DB:g} dB less.{says} Move it in front, above heads, in sight of "
                "whoever wears the packs.",
                (name, *fails),
                {"loss_db": BLOCKED_SIGHT_DB},
            )
