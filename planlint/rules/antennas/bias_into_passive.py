"""DC on an antenna cable where a part shorts it, or none where an amplifier needs it.

What goes wrong: a splitter or receiver that sends DC for amplified antennas feeds it into a part that is a short
circuit for it, and a fuse or a regulator goes; or the amplified antenna gets none, and is a stick with a loss.

Bad::

    plan_format: 1
    kind: plan
    models: {rx-m: {role: mic-receiver, sends_bias: false}, spl-4: {role: splitter, ways: 4, sends_bias: true}}
    devices: {RX-1: {model: rx-m, into: SPL-B}, SPL-B: {model: spl-4}}
    antennas: {mic-a: {for: mic, through: SPL-B, shorts_dc: true}}
    links: {hand: {kind: mic, rx: RX-1}}

Good::

    plan_format: 1
    kind: plan
    models: {rx-m: {role: mic-receiver, sends_bias: false}, spl-4: {role: splitter, ways: 4, sends_bias: true}}
    devices: {RX-1: {model: rx-m, into: SPL-B}, SPL-B: {model: spl-4}}
    antennas: {mic-a: {for: mic, through: SPL-B, amplifier_db: 6, needs_bias: true, shorts_dc: false}}
    links: {hand: {kind: mic, rx: RX-1}}

`sends_bias` says what is switched on: where it can be switched off at the unit, off means false. The way from each
receiver to each of its antennas is followed; transmitters are not.

Source: the parts' data sheets, as the plan copies them.
"""

from __future__ import annotations

from collections.abc import Iterator

from planlint.facts import Facts
from planlint.facts.antennas import uses
from planlint.facts.dc import Fed, along
from planlint.finding import Fault, Mark, Unchecked
from planlint.plan import Plan
from planlint.plan.model import Device
from planlint.rules.base import NoOptions, Rule

RULE = Rule(severity="error", group="link", source="the parts' data sheets")


def check(plan: Plan, facts: Facts, options: NoOptions) -> Iterator[Fault | Unchecked]:
    """Yield a fault for each part that shorts DC it gets, or needs DC it does not get."""
    if not plan.links:
        yield Unchecked(("/links",))
    found: dict[Fed, list[str]] = {}
    for use in uses(plan, "in"):
        if use.route.needs:
            yield Unchecked(use.route.needs, (use.link.id, use.device.id))
        for antenna in use.route.antennas:
            for fed in along(plan, use.route, antenna):
                found.setdefault(fed, []).extend((use.device.id, use.link.id))
    for fed, users in found.items():
        ids = tuple(dict.fromkeys((fed.part, *users)))
        if fed.what == "unknown":
            yield Unchecked(fed.needs, ids)
        else:
            yield _fault(plan, fed, ids)


def _fault(plan: Plan, fed: Fed, ids: tuple[str, ...]) -> Fault:
    if fed.what == "starved":
        return Fault(
            f"{fed.at}/needs_bias",
            f"{fed.part} needs DC on its cable and gets none: its amplifier stands still and takes level away instead. Switch "
            "the DC on at the splitter or receiver that feeds it, take away what blocks it, or feed it from a supply.",
            ids,
            {"part": fed.part},
        )
    source = plan.devices[str(fed.source)]
    return Fault(
        f"{fed.at}/shorts_dc",
        f"{source.id} sends DC up the cable and {fed.part} is a short circuit for it: a fuse goes, or the supply does. Switch "
        f"the DC off at {source.id}, or put a DC block at {fed.part} before anything is switched on.",
        (*ids, *(() if source.id in ids else (source.id,))),
        {"part": fed.part, "sender": source.id},
        (_sends(source),),
    )


def _sends(source: Device) -> Mark:
    at = f"{source.model.at}/sends_bias" if source.model else source.at
    return Mark(at, f"{source.id} sends DC")
