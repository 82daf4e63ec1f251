"""Gain added twice: at the transmitter's input and in the pack.

What goes wrong: the transmitter is driven towards its limit and the pack lifts what comes out with its hiss; the mix
is both noisy and clipped, and the pack's volume works in its last quarter. Gain belongs in one place, before the link.

Bad::

    plan_format: 1
    kind: plan
    devices: {TX-3: {}, PK-3: {}}
    links: {bass: {kind: ear, tx: TX-3, input_gain_db: 9, packs: {PK-3: {gain_db: 6}}}}

Good::

    plan_format: 1
    kind: plan
    devices: {TX-3: {}, PK-3: {}}
    links: {bass: {kind: ear, tx: TX-3, input_gain_db: 9, packs: {PK-3: {gain_db: 0}}}}

Above 0 dB counts as added, at both ends; 0 dB does not.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.packs import Setting, setting, worn
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Link, Pack
from planlint.rules.base import NoOptions, Rule
from planlint.rules.packs import house_mark, lacking_packs, named, sender, subjects, text, value

RULE = Rule(severity="warning", group="hearing", source="common practice, no source")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each pack with gain above 0 dB on a link with input gain above 0 dB."""
    yield from lacking_packs(plan)
    for link, pack in worn(plan):
        both = (Setting(link.spec.get("input_gain_db"), f"{link.at}/input_gain_db"), setting(plan, pack, "gain_db"))
        if any(gain.value is not None and gain.value <= 0 for gain in both):
            continue
        missing = tuple(gain.at for gain in both if gain.value is None)
        if missing:
            yield Unchecked(missing, subjects(link, pack))
        else:
            yield _fault(link, pack, *both)


def _fault(link: Link, pack: Pack, at_input: Setting, in_pack: Setting) -> Fault:
    return Fault(
        f"{pack.at}/gain_db",
        f"{link.id}: {sender(link)} adds {text(at_input.value)} dB at its input and {named(pack)} another "
        f"{text(in_pack.value)} dB: hiss below and clipping above. With {pack.id} at minimum, set the input of "
        f"{sender(link)} and the gain of {pack.id} to 0 dB, raise the send at the desk, then the volume by ear.",
        (link.id, *((link.tx,) if link.tx else ()), pack.id),
        {"input_gain_db": value(at_input.value), "gain_db": value(in_pack.value)},
        (Mark(at_input.at, f"{sender(link)} adds this"), *house_mark(in_pack)),
    )
