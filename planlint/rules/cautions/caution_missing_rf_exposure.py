"""Much power near people and no word about exposure.

What goes wrong: a transmitter is set to full power and taped to skin, or somebody leans on a transmit antenna. The
rule computes no exposure: it asks for a caution where a power is above the least that 47 CFR 1.1307(b)(3)(i)(B) lets
go without an evaluation, taken as a yardstick everywhere: at 5 mm for what is worn or held, at 20 cm for the rest.
For a unit on the body only its maker's filing says how it may be worn.

Bad::

    plan_format: 1
    kind: plan
    devices: {BP-3: {}}
    links: {mic-3: {kind: mic, mic: BP-3, carrier_mhz: 550.000, power_mw: 50}}
    cautions: []

Good::

    plan_format: 1
    kind: plan
    devices: {BP-3: {}}
    links: {mic-3: {kind: mic, mic: BP-3, carrier_mhz: 550.000, power_mw: 50}}
    cautions: [{about: rf-exposure, say: worn as its maker's instructions say; power as low as it holds}]

Source: 47 CFR 1.1307(b)(3)(i)(B), read in a public copy; local rules and the maker's instructions come first.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link
from planlint.rules.base import NoOptions, Rule
from planlint.rules.caution_wording import ask, listed, settled, unwritten, used_links

RULE = Rule(severity="warning", group="hearing", source="47 CFR 1.1307(b)(3)(i)(B), as a yardstick")

ON_THE_BODY_M = 0.005
BESIDE_PEOPLE_M = 0.20
SAY = (
    "Worn units as their makers' instructions say; nobody stays within reach of a transmit antenna; power as low as the "
    "link holds. Local rules come first."
)


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault where a power is above the yardstick and no caution is about exposure."""
    yield from unwritten(plan)
    if settled(plan, "rf-exposure"):
        return
    if not plan.links:
        yield Unchecked(("/links",))
    strong: list[tuple[Link, float, float]] = []
    for link in used_links(plan, "ear", "mic", "comms", "other"):
        if not link.wants_carrier:
            continue  # its units pick their own carrier: the yardstick needs one
        if link.carrier_hz is None or link.power_mw is None:
            key = "carrier_mhz" if link.carrier_hz is None else "power_mw"
            yield Unchecked((f"{link.entry_at}/{key}",), (link.id,))
            continue
        limit = _yardstick_mw(link)
        if limit is None:
            yield Unchecked((link.carrier_at,), (link.id,))  # the rule says nothing of this band
        elif link.power_mw > limit:
            strong.append((link, link.power_mw, limit))
    if strong:
        why = listed(f"{link.id} sends {power:g} mW (yardstick {limit:.1f} mW)" for link, power, limit in strong)
        ids = [name for link, _, _ in strong for name in (link.id, link.tx) if name]
        marks = [Mark(f"{link.entry_at}/power_mw", f"{link.id} {power:g} mW") for link, power, _ in strong]
        yield from ask("rf-exposure", why, SAY, ids, marks)


def _yardstick_mw(link: Link) -> float | None:
    """Return the power in mW above which a caution is asked for; None outside the rule's range of carriers."""
    from planlint.rf.exposure import fcc_exempt_power_mw

    distance_m = ON_THE_BODY_M if link.kind in {"mic", "comms"} else BESIDE_PEOPLE_M
    try:
        return fcc_exempt_power_mw(distance_m, float(link.carrier_hz or 0))
    except ValueError:
        return None
